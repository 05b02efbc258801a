import { describe, expect, it } from 'vitest'
import { line, stateAt } from '../fixture'
import { say } from '../../base/words/words'
import { meantBefore, touchedAt, turnOf } from './control'

describe('a press on the control of the clock', () => {
  const stopped = stateAt(0, { lines: [line({ entry: 'a', seq: 1, kind: 'clock_stopped', seat: 'clock', body: { elapsed_ms: 0 } })] })

  it('that was on its way when another device stopped the clock is for the stop', () => {
    const turn = turnOf(stopped, false, 5000)
    expect([4900, 5000, 5400, 5999].map((at) => meantBefore(turn, at))).toEqual([true, true, true, true])
    expect(meantBefore(turn, 6000)).toBe(false)
    expect(meantBefore(null, 5000)).toBe(false)
  })
  it('says who was first and what to do', () => {
    expect(say(turnOf(stopped, false, 0).say)).toMatch(/^The Clock seat stopped the clock.*To start it, press again\.$/)
    expect(say(turnOf(stopped, true, 0).say)).toContain('The clock runs')
    expect(say(turnOf(stateAt(0, { lines: [] }), false, 0).say)).toMatch(/^The program /)
  })
  it('counts from the touch, where the browser says when that was', () => {
    expect(touchedAt({ timeStamp: 900 } as Event, 1000)).toBe(900)
    expect(touchedAt({ timeStamp: 1_700_000_000_000 } as Event, 1000)).toBe(1000)
    expect(touchedAt({ timeStamp: 0 } as Event, 50_000)).toBe(50_000)
  })
})
