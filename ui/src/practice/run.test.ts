import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { Seen } from '../base/contract/contract'
import { apiOver, Refused } from '../base/transport/api'
import { Stream } from '../base/transport/stream.svelte'
import type { Engine, Reply } from './engine'
import { Run } from './run.svelte'

const quiet: Seen = { shown: [], jump_ms: 0, next_ms: 1e15, waits: '', hint: '', told: false, stops: false, on_hold: false, over: false, seq: 1, done: 0, of: 3, cue: -1, box: [], released: [] }

/** An engine that says what the test gives it, after a thread's while. */
class Script implements Engine {
  asked: { method: string; path: string; body: string; now: number }[] = []
  sees: Partial<Seen>[] = []
  answers: Record<string, Reply> = {}
  async call(method: string, path: string, body: string, now: number): Promise<Reply> {
    this.asked.push({ method, path, body, now })
    const seen = /(look|next|pace|act)$/.test(path) ? { ...quiet, ...this.sees.shift() } : undefined
    await new Promise((resolve) => setTimeout(resolve, 2))
    return this.answers[path] ?? { status: 200, body: JSON.stringify(seen ?? { game: 'g', cues: [], findings: [], path }) }
  }
  paths = (like: RegExp) => this.asked.filter((one) => like.test(one.path))
}

async function started(engine = new Script()) {
  const run = new Run(engine, 1_000_000)
  const close = run.open({ script: 'standard', seat: 'solo', pace: 'fast' })
  await vi.advanceTimersByTimeAsync(20)
  return { engine, run, close }
}

describe('a practice under way', () => {
  beforeEach(() => {
    vi.useFakeTimers()
    vi.stubGlobal('EventSource', { CLOSED: 2 })
    vi.stubGlobal('document', Object.assign(new EventTarget(), { visibilityState: 'visible' }))
  })
  afterEach(() => {
    vi.useRealTimers()
    vi.unstubAllGlobals()
  })

  it('stands still until it is begun, then looks when something is due and at least four times a second', async () => {
    const { engine, run } = await started()
    await vi.advanceTimersByTimeAsync(5000)
    expect(engine.paths(/look/)).toHaveLength(1)
    engine.sees = [{ next_ms: 1_000_100 }]
    run.go()
    await vi.advanceTimersByTimeAsync(90)
    expect(engine.paths(/look/)).toHaveLength(2)
    await vi.advanceTimersByTimeAsync(20)
    expect(engine.paths(/look/).map((one) => one.now)).toEqual([1_000_000, 1_000_000, 1_000_100])
    await vi.advanceTimersByTimeAsync(2000)
    expect(engine.paths(/look/).length).toBeGreaterThanOrEqual(10)
  })
  it('puts its clock on once for each answer, whatever is asked at the same time', async () => {
    const { engine, run } = await started()
    run.go()
    await vi.advanceTimersByTimeAsync(10)
    engine.asked = []
    engine.sees = [{ jump_ms: 30_000 }, { jump_ms: 0 }]
    const before = run.now()
    run.look()
    run.next()
    await vi.advanceTimersByTimeAsync(3)
    const [first, second] = engine.paths(/look|next/)
    expect([first?.path, second?.path]).toEqual(['/practice/look', '/practice/next'])
    expect((second?.now ?? 0) - (first?.now ?? 0)).toBeGreaterThanOrEqual(30_000)
    expect(run.now() - before).toBeLessThan(30_100)
  })
  it('tells the screens of entries that others made, and looks after each post', async () => {
    const { engine, run } = await started()
    const state = vi.fn()
    const known = { seq: 0 }
    const close = new Stream(run.link, apiOver(run.link).stream('g'), { state, beat: () => undefined, knows: (seq) => seq <= known.seq }).open()
    await vi.advanceTimersByTimeAsync(10)
    expect(state).toHaveBeenCalledTimes(1)
    run.go()
    await vi.advanceTimersByTimeAsync(10)
    engine.sees = [{ seq: 4 }]
    run.look()
    await vi.advanceTimersByTimeAsync(10)
    expect(state).toHaveBeenCalledTimes(2)
    engine.asked = []
    engine.answers['/games/g/entries'] = { status: 409, body: '{"title":"No"}' }
    await Promise.all([expect(apiOver(run.link).post('g', [], 0)).rejects.toBeInstanceOf(Refused), vi.advanceTimersByTimeAsync(10)])
    expect(engine.asked.map((one) => one.path).slice(0, 2)).toEqual(['/games/g/entries', '/practice/look'])
    close()
  })
  it('stands still when the page is hidden, until the learner goes on', async () => {
    const { engine, run } = await started()
    run.go()
    await vi.advanceTimersByTimeAsync(500)
    Object.assign(document, { visibilityState: 'hidden' })
    document.dispatchEvent(new Event('visibilitychange'))
    await vi.advanceTimersByTimeAsync(10) // what was asked is answered
    const { length } = engine.asked
    const stood = run.now()
    await vi.advanceTimersByTimeAsync(60_000)
    Object.assign(document, { visibilityState: 'visible' })
    document.dispatchEvent(new Event('visibilitychange'))
    expect([run.paused, run.now(), engine.asked.length]).toEqual([true, stood, length])
    run.go()
    await vi.advanceTimersByTimeAsync(1)
    expect(engine.asked.length).toBe(length + 1)
  })
  it('says what the learner does beside the ledger, tells slips, and ends with the grade', async () => {
    const { engine, run } = await started()
    run.go()
    await vi.advanceTimersByTimeAsync(10)
    run.link.horn?.()
    await vi.advanceTimersByTimeAsync(10)
    expect(engine.paths(/act$/).map((one) => one.body)).toEqual(['{"do":"horn"}'])
    engine.answers['/practice/grade'] = { status: 200, body: '{"score":87}' }
    engine.sees = [{ told: true }, { over: true }]
    run.look()
    await vi.advanceTimersByTimeAsync(600)
    expect(run.told).toMatchObject({ findings: [] })
    expect(run.graded).toEqual({ score: 87 })
    const { length } = engine.asked
    await vi.advanceTimersByTimeAsync(5000)
    expect(engine.asked.length).toBe(length)
  })
  it('stands still for a slip that stops it, and goes on when it was read', async () => {
    const { engine, run } = await started()
    run.go()
    await vi.advanceTimersByTimeAsync(10)
    engine.answers['/practice/told'] = { status: 200, body: '{"findings":[{}],"stops":true}' }
    engine.sees = [{ told: true, stops: true }]
    run.look()
    await vi.advanceTimersByTimeAsync(10)
    expect([run.paused, run.stopped?.stops]).toEqual([true, true])
    const stood = run.now()
    await vi.advanceTimersByTimeAsync(60_000)
    expect(run.now()).toBe(stood)
    run.go()
    expect([run.paused, run.stopped]).toEqual([false, null])
  })
  it('says once when something is built on the screen, and once when it is gone', async () => {
    const { engine, run } = await started()
    for (const on of [false, true, true, false, false]) run.link.drafting?.(on)
    await vi.advanceTimersByTimeAsync(20)
    expect(engine.paths(/act$/).map((one) => one.body)).toEqual(['{"do":"drafting"}', '{"do":"drafted"}'])
  })
  it('says so when the engine will not', async () => {
    const engine = new Script()
    engine.answers['/practice/begin'] = { status: 404, body: '{"title":"Not found","detail":"There is no script no-such. Choose one from the list."}' }
    const { run } = await started(engine)
    expect(run.trouble).toBe('There is no script no-such. Choose one from the list.')
  })
})
