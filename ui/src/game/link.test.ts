import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { Entry } from '../base/contract/contract'
import { stateAt } from './fixture'
import { overlayClock } from './overlay'
import { type Answer, Refused, Unreachable } from '../base/transport/api'
import { draft } from '../base/transport/draft'
import { Outbox, type Shelf } from '../base/transport/outbox.svelte'
import { SleepWatch } from '../base/transport/sleep'
import { bestOffset, boundAfter } from '../base/transport/time'
import { ulid } from '../base/transport/ulid'

class Memory implements Shelf {
  readonly kept = new Map<string, string>()
  get length() { return this.kept.size }
  key(i: number) { return [...this.kept.keys()][i] ?? null }
  getItem(key: string) { return this.kept.get(key) ?? null }
  setItem(key: string, value: string) { this.kept.set(key, value) }
  removeItem(key: string) { this.kept.delete(key) }
}

const game = '01JD0000000000000000000000'
const note = (text: string) => draft({ game, kind: 'note', body: { text }, wall: 0 })
const answer: Answer = { state: stateAt(0), now_ms: 1, posted: [] }

describe('the outbox', () => {
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())

  it('sends once, in order, when the bench is back', async () => {
    const sent: string[] = []
    let lost = true
    const send = vi.fn((entries: Entry[]) => {
      if (lost) return Promise.reject(new Unreachable('no answer'))
      sent.push(...entries.map((one) => one.id))
      return Promise.resolve(answer)
    })
    const outbox = new Outbox(game, send, () => undefined, new Memory())
    const drafts = [note('a'), note('b'), note('c')]
    const kept = Promise.all(drafts.map((one) => outbox.put([one])))
    await vi.advanceTimersByTimeAsync(2500)
    expect(outbox.waiting).toHaveLength(3)
    expect(sent).toEqual([])
    lost = false
    await vi.advanceTimersByTimeAsync(1500)
    await kept
    expect(sent).toEqual(drafts.map((one) => one.id))
    expect(outbox.waiting).toEqual([])
  })
  it('keeps what was not sent while the page is closed', async () => {
    const shelf = new Memory()
    const first = new Outbox(game, () => Promise.reject(new Unreachable('')), () => undefined, shelf)
    void first.put([note('a')])
    void first.put([note('b')])
    await vi.advanceTimersByTimeAsync(10)
    const sent: Entry[] = []
    const second = new Outbox(game, (entries) => { sent.push(...entries); return Promise.resolve(answer) }, () => undefined, shelf)
    await second.flush()
    expect(sent.map((one) => one.data.body)).toEqual([{ text: 'a' }, { text: 'b' }])
    expect(shelf.kept.size).toBe(0)
    const other = new Outbox('01JD0000000000000000000009', () => Promise.resolve(answer), () => undefined, shelf)
    expect(other.waiting).toEqual([])
  })
  it('lists a refusal that nobody waits for until it is read, also over a reload', async () => {
    const shelf = new Memory()
    const yours = note('mine')
    const no = new Refused(409, 'Changed meanwhile', 'Somebody was first.', [], { of: 'x', yours, theirs: note('theirs') })
    const saws: number[] = []
    const outbox = new Outbox(game, (_, saw) => { saws.push(saw); return Promise.reject(no) }, () => undefined, shelf)
    await expect(outbox.offer([yours], 7)).resolves.toBe(false)
    expect(saws).toEqual([7])
    expect(outbox.refused).toMatchObject([{ batch: { key: yours.id, saw: 7 }, why: no }])
    const later = new Outbox(game, () => Promise.resolve(answer), () => undefined, shelf)
    expect(later.waiting).toEqual([])
    expect(later.refused[0]?.why.stale?.of).toBe('x')
    expect(later.refused[0]?.why.message).toBe('Somebody was first.')
    later.dismiss(yours.id)
    expect(new Outbox(game, () => Promise.resolve(answer), () => undefined, shelf).refused).toEqual([])
  })
  it('keeps what the bench has no room for at the moment, and sends it later', async () => {
    const busy = new Refused(429, 'Too often', 'Wait a minute.', [])
    const send = vi.fn().mockRejectedValueOnce(busy).mockResolvedValue(answer)
    const outbox = new Outbox(game, send, () => undefined, new Memory())
    const kept = outbox.put([note('a')])
    await vi.advanceTimersByTimeAsync(500)
    expect(outbox.waiting).toHaveLength(1)
    await vi.advanceTimersByTimeAsync(1000)
    await expect(kept).resolves.toBeUndefined()
    expect(send).toHaveBeenCalledTimes(2)
    expect(outbox.refused).toEqual([])
  })
  it('takes back what waits: what never went out is gone, what did is struck after it', async () => {
    const sent: Entry[] = []
    let lost = true
    const send = (entries: Entry[]) => {
      if (lost) return Promise.reject(new Unreachable('no answer'))
      sent.push(...entries)
      return Promise.resolve(answer)
    }
    const shelf = new Memory()
    const outbox = new Outbox(game, send, () => undefined, shelf)
    const strike = (of: string) => draft({ game, kind: 'struck', body: {}, of, wall: 0 })
    const [first, second, third] = [note('a'), note('b'), note('c')]
    void outbox.offer([first])
    await vi.advanceTimersByTimeAsync(10)
    const kept = outbox.offer([second])
    void outbox.offer([third])
    void outbox.offer([strike(second.id)])
    outbox.takeBack(second.id, strike)
    await expect(kept).resolves.toBe(true)
    expect(outbox.waiting.map((one) => one.key), 'and what builds on it').toEqual([first.id, third.id])
    outbox.takeBack(first.id, strike)
    // Also a page that was loaded anew knows what went out.
    expect(new Outbox(game, () => Promise.reject(new Unreachable('')), () => undefined, shelf).waiting.map((one) => one.tried ?? false)).toEqual([true, false, false])
    lost = false
    await vi.advanceTimersByTimeAsync(1500)
    expect(sent.map((one) => [one.type.split('.')[1], one.of ?? one.id])).toEqual([['note', first.id], ['note', third.id], ['struck', first.id]])
    expect(outbox.waiting).toEqual([])
    expect(shelf.kept.size).toBe(0)
  })
  it('keeps everything when the bench took the seat away, and lets somebody else have it', async () => {
    const gone = new Refused(403, 'Not here', 'This is for the seats of the game.', [])
    const send = vi.fn().mockRejectedValue(gone)
    const shelf = new Memory()
    const outbox = new Outbox(game, send, () => undefined, shelf)
    const [first, second] = [note('a'), note('b')]
    void outbox.offer([first])
    void outbox.offer([second])
    await vi.advanceTimersByTimeAsync(5000)
    expect(outbox.shut).toBe(true)
    expect(send).toHaveBeenCalledTimes(1)
    expect(outbox.waiting.map((one) => one.key)).toEqual([first.id, second.id])
    expect(outbox.refused).toEqual([])
    outbox.forget(first.id)
    expect(new Outbox(game, send, () => undefined, shelf).waiting.map((one) => one.key)).toEqual([second.id])
  })
  it('gives a refusal back, and goes on with the next', async () => {
    const no = new Refused(422, 'Refused', 'Three assists.', [])
    const send = vi.fn().mockRejectedValueOnce(no).mockResolvedValue(answer)
    const outbox = new Outbox(game, send, () => undefined, new Memory())
    const first = outbox.put([note('a')])
    const second = outbox.put([note('b')])
    await expect(first).rejects.toBe(no)
    await expect(second).resolves.toBeUndefined()
    expect(outbox.waiting).toEqual([])
  })
})

describe('the outbox on a bad network (N1, N2)', () => {
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())

  type Luck = 'through' | 'question lost' | 'answer lost' | 'reload'
  const luck = fc.array(fc.constantFrom<Luck>('through', 'question lost', 'answer lost', 'reload'), { maxLength: 30 })

  it('hands everything over once and in order, whatever is lost and whenever the page is reloaded', async () => {
    await fc.assert(fc.asyncProperty(luck, fc.integer({ min: 1, max: 8 }), async (fate, count) => {
      const shelf = new Memory()
      const ledger: string[] = []
      let step = 0
      const send = (entries: Entry[]) => {
        const now = fate[step++] ?? 'through'
        if (now === 'question lost') return Promise.reject(new Unreachable(''))
        // The bench knows an id that it has had: to send again is harmless.
        for (const { id } of entries) if (!ledger.includes(id)) ledger.push(id)
        return now === 'answer lost' || now === 'reload' ? Promise.reject(new Unreachable('')) : Promise.resolve(answer)
      }
      let outbox = new Outbox(game, send, () => undefined, shelf)
      const put: string[] = []
      for (let i = 0; i < count; i++) {
        const one = note(String(i))
        put.push(one.id)
        void outbox.put([one], i)
        await vi.advanceTimersByTimeAsync(700)
        if (fate[step] === 'reload') {
          // The page is gone, with its timers; only the shelf stays.
          vi.clearAllTimers()
          outbox = new Outbox(game, send, () => undefined, shelf)
        }
      }
      void outbox.flush()
      await vi.advanceTimersByTimeAsync(60_000)
      expect(ledger).toEqual(put)
      expect(outbox.waiting).toEqual([])
      expect(shelf.kept.size).toBe(0)
    }), { numRuns: 200 })
  })
})

describe('the offset', () => {
  it('comes from the shortest round trip', () => {
    const probe = (left: number, trip: number, ahead: number, late = 0) => ({
      left, received: left + trip / 2 + ahead + late, sent: left + trip / 2 + ahead + late + 2, back: left + trip + 2,
    })
    const best = bestOffset([probe(0, 80, 500, 30), probe(100, 8, 500), probe(200, 40, 500, -15)])
    expect(best).toEqual({ offset: 500, bound: 4 })
    expect(bestOffset([])).toBeNull()
  })
  it('is never off by more than its bound', () => {
    for (let out = 0; out <= 20; out++) {
      const best = bestOffset([{ left: 0, received: out + 70, sent: out + 70, back: 20 }])
      expect(Math.abs((best?.offset ?? 0) - 70)).toBeLessThanOrEqual(best?.bound ?? 0)
    }
  })
})

describe('a bound', () => {
  it('grows while the bench is not heard: 6 ms a minute', () => {
    expect(boundAfter(4, 0)).toBe(4)
    expect(boundAfter(4, 600_000)).toBe(64)
    expect(boundAfter(4, -5)).toBe(4)
  })
  it('covers two clocks that run apart by less than the drift', () => {
    fc.assert(fc.property(
      fc.integer({ min: 0, max: 400 }), fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: -1e-4, max: 1e-4, noNaN: true }), fc.integer({ min: 0, max: 7_200_000 }),
      (trip, share, apart, later) => {
        // One probe whose way there took any share of the round trip, then silence.
        const truth = 12_345
        const best = bestOffset([{ left: 0, received: trip * share + truth, sent: trip * share + truth, back: trip }])
        const off = Math.abs((best?.offset ?? Infinity) - (truth + apart * later))
        expect(off).toBeLessThanOrEqual(boundAfter(best?.bound ?? 0, later) + 1e-6)
      },
    ))
  })
})

describe('a sleep', () => {
  const watch = (within = 500) => {
    const now = { wall: 1e12, steady: 0 }
    const sleep = new SleepWatch({ wall: () => now.wall, steady: () => now.steady })
    return (wall: number, steady: number) => {
      now.wall += wall
      now.steady += steady
      return sleep.look(within)
    }
  }
  it('shows where the monotonic clock stood still, and where it ran on', () => {
    const after = watch()
    expect(after(500, 500)).toBe(false)
    expect(after(1500, 500)).toBe(false) // a second is within what a slewed clock may gain
    expect(after(60_500, 500)).toBe(true)
    expect(after(500, 500)).toBe(false)
    expect(after(60_000, 60_000)).toBe(true)
  })
  it('is looked for as seldom as is said', () => {
    const after = watch(60_000)
    expect(after(60_000, 60_000)).toBe(false)
    expect(after(20_000, 20_000)).toBe(false) // somebody touched something before it was due
    expect(after(66_000, 66_000)).toBe(true)
    expect(after(60_000, 10_000)).toBe(true)
  })
  it('is not a wall clock set back', () => expect(watch()(-3_600_000, 500)).toBe(false))
})

describe('ids', () => {
  it('are ULIDs that sort as they were made', () => {
    const ids = Array.from({ length: 200 }, () => ulid(1_700_000_000_000))
    expect([...ids].sort()).toEqual(ids)
    expect(new Set(ids).size).toBe(200)
    for (const id of ids) expect(id).toMatch(/^[0-7][0-9A-HJKMNP-TV-Z]{25}$/)
  })
})

describe('presses that are not answered yet', () => {
  it('move the clock at once, and count once', () => {
    const state = stateAt(600_000)
    const start = draft({ game, kind: 'clock_started', body: { elapsed_ms: 120_000 }, wall: 5000 })
    const stop = draft({ game, kind: 'clock_stopped', body: { elapsed_ms: 123_000 }, wall: 8000 })
    expect(overlayClock(state, [start])).toMatchObject({ running: true, elapsed_ms: 120_000, wall_ms: 5000 })
    expect(overlayClock(state, [start, stop])).toMatchObject({ running: false, elapsed_ms: 123_000 })
    const known = { ...state, lines: [{ entry: start.id } as (typeof state.lines)[number]] }
    expect(overlayClock(known, [start])).toBe(known.clock)
  })
})
