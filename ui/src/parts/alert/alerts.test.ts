import { describe, expect, it } from 'vitest'
import { leavingAt as out, minute, momentAt, stateAt, term } from '../../game/fixture'
import { playNow } from '../../game/lanes/play'
import { readClock } from '../../game/clock/reading'
import { alertOf } from './alerts'

function alertAt(left: number, running: boolean, given: Parameters<typeof stateAt>[1] = {}) {
  const state = stateAt(left, given)
  const clock = { ...state.clock, running }
  return alertOf(state, playNow(state, clock.elapsed_ms), readClock(clock, clock.wall_ms))
}

describe('alerts', () => {
  it('are silent in the middle of a period', () => {
    expect(alertAt(5 * minute, true)).toBeNull()
    expect(alertAt(5 * minute, true, { due: [out(5 * minute - 10_001)] })).toBeNull()
  })
  it('call everybody who comes out in ten seconds, with the gate', () => {
    const moment = 5 * minute - 9000
    const alert = alertAt(5 * minute, true, { due: [out(moment), out(moment, { sits: '6' }), out(moment, { side: 'visitors', sits: '4' })] })
    expect(alert?.text).toMatch(/9.*Kelp Bay 17, 6.*home gate.*Lanternside 4.*visitors' gate/)
    expect(alertAt(5 * minute, false, { due: [out(moment)] })).toBeNull()
    expect(alertAt(5 * minute, true, { due: [out(moment, { door: 'next_whistle', from_ms: momentAt(2, moment).abs_ms })] })).toBeNull()
  })
  it('still say who comes out once the time is over', () => {
    const alert = alertAt(5 * minute - 3000, true, { due: [out(5 * minute)] })
    expect(alert?.text).toMatch(/^Out now: Kelp Bay 17/)
    expect(alert?.key).toBe(alertAt(5 * minute + 3000, true, { due: [out(5 * minute)] })?.key)
    expect(alertAt(5 * minute - 11_000, true, { due: [out(5 * minute)] })).toBeNull()
  })
  it('call the last minute, for a moment, and a gate before it', () => {
    expect(alertAt(60_500, true)).toBeNull()
    expect(alertAt(58_000, true)?.key).toBe('minute/period2')
    expect(alertAt(50_000, true)).toBeNull()
    expect(alertAt(58_000, true, { due: [out(50_000)] })?.key).toMatch(/^out/)
  })
  it('warn at a whistle of a third penalty that waits', () => {
    const three = ['a', 'b', 'c'].map((id, i) => term({
      id, player: String(i + 4), sits: String(i + 4), start: momentAt(2, i === 2 ? 4 * minute : 5 * minute), end: momentAt(2, i === 2 ? 2 * minute : 4 * minute), waits: i === 2,
    }))
    expect(alertAt(5 * minute, false, { terms: three })?.text).toContain('6')
    expect(alertAt(5 * minute, false, { terms: three.slice(0, 2) })).toBeNull()
    expect(alertAt(5 * minute, true, { terms: three })).toBeNull()
  })
})
