import { describe, expect, it } from 'vitest'
import { placeOn, secondsText, spreadOf } from './times'

describe('the times of a practice', () => {
  it('have a median and a slowest, whatever their order', () => {
    expect(spreadOf([900, -100, 300])).toEqual({ count: 3, middle: 300, worst: 900 })
    expect(spreadOf([400, 100])).toEqual({ count: 2, middle: 250, worst: 400 })
    expect(spreadOf([])).toBeNull()
  })
  it('are written in tenths, with a sign where they are early', () => {
    expect([0, 949, 1000, -460].map(secondsText)).toEqual(['0.0', '0.9', '1.0', '-0.5'])
  })
  it('stand on their line, and at its end where they lie beyond', () => {
    const axis = { from: -1000, to: 3000 }
    expect([-1000, 0, 3000, 9000, -5000].map((ms) => placeOn(axis, ms))).toEqual([0, 25, 100, 100, 0])
  })
})
