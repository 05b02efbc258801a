import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { clockText, elapsedText, leftText, parseClock } from '../../base/words/format'
import { delayShows, readClock, timeOutLeft } from './reading'

describe('times in words', () => {
  it('rounds what is left up and what has passed down', () => {
    expect(leftText(61_001)).toBe('1:02')
    expect(elapsedText(61_999)).toBe('1:01')
    expect(leftText(0)).toBe('0:00')
    expect(leftText(-5)).toBe('0:00')
  })
  it('shows tenths below a minute, and 0.0 at the end only', () => {
    expect(clockText(60_000, true)).toBe('1:00')
    expect(clockText(59_950, true)).toBe('1:00')
    expect(clockText(59_900, true)).toBe('59.9')
    expect(clockText(1, true)).toBe('0.1')
    expect(clockText(0, true)).toBe('0.0')
    expect(clockText(45_000, false)).toBe('0:45')
  })
  it('reads times as people type them', () => {
    expect(parseClock('5:13')).toBe(313_000)
    expect(parseClock(' 513 ')).toBe(313_000)
    expect(parseClock('45')).toBe(45_000)
    expect(parseClock('90')).toBe(90_000)
    expect(parseClock('0:07.4')).toBe(7_400)
    for (const bad of ['', '5:7', '5:60', '567', '-1', '5:13:00', 'abc', '12345']) {
      expect(parseClock(bad), bad).toBeNull()
    }
  })
  it('reads what it writes', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 5999 }), (seconds) => {
      expect(parseClock(leftText(seconds * 1000))).toBe(seconds * 1000)
    }))
  })
})

describe('the clock', () => {
  const clock = { running: true, elapsed_ms: 1000, wall_ms: 10_000, length_ms: 60_000, error_ms: 0 }
  it('counts from its anchor and stops at its length', () => {
    expect(readClock(clock, 12_500)).toEqual({ elapsed: 3500, left: 56_500, running: true, over: false })
    expect(readClock(clock, 9000).elapsed).toBe(1000)
    expect(readClock(clock, 900_000)).toEqual({ elapsed: 60_000, left: 0, running: false, over: true })
  })
  it('stands while it is stopped', () => {
    expect(readClock({ ...clock, running: false }, 99_000).elapsed).toBe(1000)
  })
  it('knows what is left of a time-out', () => {
    expect(timeOutLeft({ wall_ms: 1000, length_ms: 30_000 }, 11_000)).toBe(20_000)
    expect(timeOutLeft({ wall_ms: 1000, length_ms: 30_000 }, 31_000)).toBeNull()
    expect(timeOutLeft(undefined, 0)).toBeNull()
  })
  it('counts a delay down from its length, or up', () => {
    const delay = { why: 'ice' as const, wall_ms: 1000, length_ms: 60_000 }
    expect(delayShows(delay, 11_000)).toEqual({ ms: 50_000, up: false })
    expect(delayShows(delay, 99_000)).toEqual({ ms: 0, up: false })
    expect(delayShows({ ...delay, length_ms: 0 }, 99_000)).toEqual({ ms: 98_000, up: true })
  })
})
