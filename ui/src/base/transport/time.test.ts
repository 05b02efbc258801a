import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'

import { BenchTime } from './time'

/** A bench whose time is ahead of ours by a distance that can change, over a network with a delay each way. */
class Bench {
  ahead = 5000
  out = 10 // milliseconds
  back = 10
  now = () => performance.timeOrigin + performance.now() + this.ahead
  ask = async () => {
    await vi.advanceTimersByTimeAsync(this.out)
    const received_ms = Math.floor(this.now()) // as the bench answers
    await vi.advanceTimersByTimeAsync(this.back)
    return { received_ms, sent_ms: received_ms }
  }
}

describe("the bench's time on a device", () => {
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())
  const measured = async () => {
    const bench = new Bench()
    const time = new BenchTime(bench.ask)
    await time.measure()
    return { bench, time, off: () => Math.abs(time.now() - bench.now()) }
  }

  it('is within its bound, also where one way takes 500 ms longer than the other', async () => {
    const { bench, time, off } = await measured()
    expect(off()).toBeLessThanOrEqual(time.bound ?? 0)
    for (const [out, back] of [[500, 2], [2, 500], [250, 0]] as const) {
      const far = new BenchTime(bench.ask)
      bench.out = out
      bench.back = back
      await far.measure()
      expect(Math.abs(far.now() - bench.now())).toBeLessThanOrEqual(far.bound ?? 0)
    }
  })
  it('is within its bound where whole milliseconds hide as much as the way there', async () => {
    for (const ahead of [5000.05, 5000.5, 5000.95]) {
      for (const [out, back] of [[1, 0], [0, 1], [3, 2]] as const) {
        const bench = new Bench()
        Object.assign(bench, { ahead, out, back })
        const time = new BenchTime(bench.ask)
        await time.measure()
        expect(Math.abs(time.now() - bench.now())).toBeLessThanOrEqual(time.bound ?? 0)
      }
    }
  })
  it("is given up when the bench's own computer slept: a message from later than now shows it", async () => {
    const { bench, time, off } = await measured()
    bench.ahead += 40_000
    time.hint(bench.now() - bench.back)
    expect(time.measured).toBe(false)
    expect(time.bound).toBeUndefined()
    await time.measure()
    expect(off()).toBeLessThanOrEqual(time.bound ?? 0)
  })
  it('is kept when a message was only late', async () => {
    const { bench, time, off } = await measured()
    time.hint(bench.now() - 3000)
    expect(time.measured).toBe(true)
    expect(off()).toBeLessThanOrEqual(time.bound ?? 0)
  })
  it('takes a worse measurement where the better one cannot be true any more', async () => {
    const { bench, time, off } = await measured()
    bench.ahead -= 40_000 // started again on a computer whose time of day was set back
    bench.out = 90
    await time.measure()
    expect(off()).toBeLessThanOrEqual(time.bound ?? 0)
  })
})
