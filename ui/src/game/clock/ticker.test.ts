import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import { Ticker } from './ticker.svelte'

beforeEach(() => {
  vi.useFakeTimers()
  // Node has no frames: one every 16 ms.
  vi.stubGlobal('requestAnimationFrame', (act: () => void) => Number(setTimeout(act, 16)))
  vi.stubGlobal('cancelAnimationFrame', (one: number) => clearTimeout(one))
})
afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

it('the time is looked at in every frame while a clock runs, and twice a minute while nothing counts', () => {
  const read = vi.fn(() => performance.now())
  const ticker = new Ticker(read)
  const stop = ticker.start()
  read.mockClear()
  vi.advanceTimersByTime(60_000)
  expect(read).toHaveBeenCalledTimes(2)

  vi.advanceTimersByTime(10_000)
  expect(ticker.now).toBe(performance.now() - 10_000)
  expect(ticker.counted, 'who counts reads no old time').toBe(performance.now())
  ticker.look() // something has changed
  expect(ticker.now).toBe(performance.now())

  ticker.moves(true)
  vi.advanceTimersByTime(160)
  expect(ticker.now).toBe(performance.now())
  ticker.moves(false)
  read.mockClear()
  vi.advanceTimersByTime(29_000)
  expect(read).not.toHaveBeenCalled()
  stop()
  expect(vi.getTimerCount()).toBe(0)
})
