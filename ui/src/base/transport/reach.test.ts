import { afterEach, describe, expect, it, vi } from 'vitest'
import { api, apiOver, Refused, Unreachable } from './api'
import { backIn, Stream } from './stream.svelte'
import type { Link, Source } from './link'

/** A bench inside the page that answers what it is given. */
class Bench extends EventTarget implements Link, Source {
  readonly can = { seats: false, copies: false, pages: false, keeps: false, shares: false }
  asked: { path: string; init: RequestInit }[] = []
  answer = new Response('{}')
  readyState = 1
  closed = 0
  readonly time = { measured: true, bound: 1, details: null, now: () => 42, of: () => 42, hint: () => undefined, forget: () => undefined, measure: () => Promise.resolve() }
  fetch(path: string, init: RequestInit) {
    this.asked.push({ path, init })
    return Promise.resolve(this.answer)
  }
  listen() { return this }
  horn() { return undefined }
  close() { this.closed++ }
  tell(name: string, data: unknown, lastEventId = '') {
    this.dispatchEvent(new MessageEvent(name, { data: JSON.stringify(data), lastEventId }))
  }
}

describe('the link to the bench', () => {
  afterEach(() => void vi.unstubAllGlobals())

  it('is the network, below /api, unless a page was given another one', async () => {
    const fetch = vi.fn(() => Promise.resolve(new Response('{"games":[]}')))
    vi.stubGlobal('fetch', fetch)
    await api.games()
    expect(fetch.mock.calls.map((call) => (call as unknown[])[0])).toEqual(['/api/games'])
  })
  it('asks a bench inside the page the same questions, and never the network', async () => {
    const fetch = vi.fn()
    vi.stubGlobal('fetch', fetch)
    const bench = new Bench()
    bench.answer = new Response('{"games":[]}')
    expect(await apiOver(bench).games()).toEqual([])
    expect(bench.asked.map((one) => [one.init.method, one.path])).toEqual([['GET', '/games']])
    expect(fetch).not.toHaveBeenCalled()
  })
  it('reads its refusals like those of the network', async () => {
    const bench = new Bench()
    bench.answer = new Response('{"title":"No","detail":"The clock runs."}', { status: 422 })
    await expect(apiOver(bench).games()).rejects.toMatchObject(new Refused(422, 'No', 'The clock runs.', []))
    bench.answer = new Response('', { status: 500 })
    await expect(apiOver(bench).games()).rejects.toBeInstanceOf(Unreachable)
  })
  it('hears it, and reads what is known already once only', () => {
    const bench = new Bench()
    const state = vi.fn()
    const beat = vi.fn()
    const close = new Stream(bench, api.stream('g'), { state, beat, knows: (seq) => seq <= 3 }).open()
    bench.dispatchEvent(new Event('open'))
    bench.tell('state', { now_ms: 1 }, '3') // the first one is read whatever is known
    bench.tell('state', { now_ms: 2 }, '3')
    bench.tell('state', { now_ms: 3 }, '4')
    bench.tell('beat', { now_ms: 4 })
    expect(state.mock.calls).toEqual([[{ now_ms: 1 }, true], [{ now_ms: 3 }, false]])
    expect(beat.mock.calls).toEqual([[1], [3], [4]])
    close()
    expect(bench.closed).toBe(1)
  })
  it('is not looked after while both rest, until it says that it does not answer', () => {
    vi.useFakeTimers()
    vi.stubGlobal('EventSource', { CLOSED: 2 })
    const bench = Object.assign(new Bench(), { rest: vi.fn() })
    const stream = new Stream(bench, api.stream('g'), { state: vi.fn(), beat: vi.fn(), knows: () => false })
    const close = stream.open()
    stream.rest(true)
    expect(bench.rest.mock.calls).toEqual([[false], [true]])
    expect(vi.getTimerCount()).toBe(0)
    vi.advanceTimersByTime(3_600_000)
    expect([stream.heard, bench.closed]).toEqual([true, 0])
    bench.dispatchEvent(new Event('error'))
    expect(stream.heard).toBe(false)
    vi.advanceTimersByTime(1000)
    expect(bench.closed, 'it is asked anew').toBeGreaterThan(0)
    expect(bench.rest).toHaveBeenLastCalledWith(true)
    bench.tell('state', { now_ms: 1 })
    expect(stream.heard).toBe(true)
    expect(vi.getTimerCount()).toBe(0)
    // What was not heard while both rested is no silence.
    vi.advanceTimersByTime(60_000)
    stream.rest(false)
    vi.advanceTimersByTime(2000)
    expect(stream.heard).toBe(true)
    vi.advanceTimersByTime(2000)
    expect(stream.heard).toBe(false)
    close()
    expect(vi.getTimerCount()).toBe(0)
    vi.useRealTimers()
  })
  it('comes back to a hub at a moment of its own, as spread out as the hub said, each time anew', () => {
    vi.useFakeTimers()
    vi.stubGlobal('EventSource', { CLOSED: 2 })
    const random = vi.spyOn(Math, 'random').mockReturnValue(0.5)
    const bench = new Bench()
    const listen = vi.spyOn(bench, 'listen')
    const stream = new Stream(bench, api.stream('g'), { state: vi.fn(), beat: vi.fn(), knows: () => false })
    const close = stream.open()
    const opensAfter = (ms: number) => {
      const before = listen.mock.calls.length
      vi.advanceTimersByTime(ms - 200)
      expect(listen.mock.calls.length, 'not before').toBe(before)
      vi.advanceTimersByTime(400)
      expect(listen.mock.calls.length, 'once').toBe(before + 1)
    }
    bench.tell('beat', { now_ms: 1, spread_ms: 20_000 })
    bench.dispatchEvent(new Event('error'))
    expect([stream.heard, bench.closed]).toEqual([false, 1])
    opensAfter(11_000)
    random.mockReturnValue(0.2) // it is still away
    bench.dispatchEvent(new Event('error'))
    opensAfter(5000)
    expect(stream.heard).toBe(false)
    bench.tell('beat', { now_ms: 2, spread_ms: 4 })
    expect(stream.heard).toBe(true)
    random.mockReturnValue(1)
    opensAfter(6000 + 1004) // it says nothing any more, and does not end
    close()
    expect(vi.getTimerCount()).toBe(0)
    vi.useRealTimers()
    random.mockRestore()
  })
  it('comes back after a second at the least, and as much later as it was spread at the most', () => {
    expect([backIn(0, 0.9), backIn(10_000, 0), backIn(10_000, 0.25), backIn(60_000, 1)]).toEqual([1000, 1000, 3500, 61_000])
  })
})
