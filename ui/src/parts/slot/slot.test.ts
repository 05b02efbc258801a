import { describe, expect, it } from 'vitest'
import { clockTime, readWallTime } from './forecast'

const at = (hours: number, minutes: number, day = 12) => new Date(2027, 0, day, hours, minutes).getTime()

describe('the end of the ice time', () => {
  it('is read as people type it', () => {
    expect(readWallTime('10:45', at(9, 50))).toBe(at(10, 45))
    expect(readWallTime(' 1045 ', at(9, 50))).toBe(at(10, 45))
    for (const bad of ['', '24:00', '10:75', 'soon', '5', '10:4']) expect(readWallTime(bad, at(9, 50)), bad).toBeNull()
  })
  it('is the one nearest to now, also across midnight', () => {
    expect(readWallTime('0:15', at(23, 10))).toBe(at(0, 15, 13))
    expect(readWallTime('23:50', at(0, 5, 13))).toBe(at(23, 50))
  })
  it('is written as the clock on the wall has it', () => {
    expect(clockTime(at(9, 5))).toBe('9:05')
    expect(readWallTime(clockTime(at(18, 30)), at(18, 0))).toBe(at(18, 30))
  })
})
