import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { Clearing } from './clear'

const memory = vi.fn(() => {
  throw new RangeError('out of memory')
})

beforeEach(() => {
  vi.useFakeTimers()
  memory.mockClear()
  vi.stubGlobal('WebAssembly', { Memory: memory })
})

afterEach(() => {
  vi.unstubAllGlobals()
  vi.useRealTimers()
})

test('it is collected once, when much was asked and nobody asks any more, also where the browser has too little', () => {
  const clearing = new Clearing()
  for (let i = 0; i < 29; i++) clearing.asked()
  vi.advanceTimersByTime(60_000)
  expect(memory, 'after a little').not.toHaveBeenCalled()
  for (let i = 0; i < 5; i++) {
    clearing.asked()
    vi.advanceTimersByTime(4999)
    expect(memory, 'while it is asked').not.toHaveBeenCalled()
  }
  vi.advanceTimersByTime(1)
  expect(memory).toHaveBeenCalledOnce()
  clearing.asked()
  vi.advanceTimersByTime(60_000)
  expect(memory, 'after a little more').toHaveBeenCalledOnce()
})

test('it is collected after a screen was left', () => {
  const clearing = new Clearing()
  clearing.dropped()
  vi.advanceTimersByTime(5000)
  expect(memory).toHaveBeenCalledOnce()
})
