import { describe, expect, it } from 'vitest'
import type { Leaving } from '../base/contract/contract'
import { playNow } from './lanes/play'
import { dueNow, dueNumber, duePerson, dueWords } from './due'
import { leavingAt, minute, momentAt, stateAt } from './fixture'

const phases = (left: number, ...due: Leaving[]) => {
  const state = stateAt(left, { due })
  return dueNow(state, playNow(state, state.clock.elapsed_ms)).map((one) => `${one.side} ${one.sits} ${one.phase} ${one.left}`)
}

describe('who is due', () => {
  const one = leavingAt(5 * minute)
  it('is said for exactly the stretch that the book gives', () => {
    expect(phases(5 * minute + 10_001, one)).toEqual([])
    expect(phases(5 * minute + 10_000, one)).toEqual(['home 17 soon 10000'])
    expect(phases(5 * minute, one)).toEqual(['home 17 now 0'])
    expect(phases(5 * minute - 10_000, one)).toEqual(['home 17 now 0'])
    expect(phases(5 * minute - 10_001, one)).toEqual([])
  })
  it('stands in the order in which gates open, home first', () => {
    const whistle = leavingAt(6 * minute, { sits: '2', door: 'next_whistle', until_ms: momentAt(2, 0).abs_ms })
    expect(phases(5 * minute + 4000, leavingAt(5 * minute, { side: 'visitors', sits: '4' }), one, leavingAt(5 * minute + 5000, { sits: '9' }), whistle)).toEqual([
      'home 9 now 0', 'home 17 soon 4000', 'visitors 4 soon 4000', 'home 2 waits 0',
    ])
  })
  it('is nobody between periods', () => {
    const state = stateAt(0, { stage: { kind: 'intermission', number: 2 }, due: [leavingAt(0, { until_ms: momentAt(3, 0).abs_ms })] })
    expect(dueNow(state, playNow(state, 0))).toEqual([])
  })
})

describe('a release in words', () => {
  const state = stateAt(5 * minute)
  state.teams[0].players = [{ number: '17', name: 'Maren Holt' }]
  it('has the name where it is known', () => {
    expect([dueNumber(leavingAt(0)), duePerson(state, leavingAt(0))]).toEqual(['17', 'Maren Holt'])
    expect(duePerson(stateAt(0), leavingAt(0))).toBe('')
  })
  it('says for whom somebody sits, and who nobody named', () => {
    expect(duePerson(state, leavingAt(0, { player: '1' }))).toBe('Maren Holt, sits for 1')
    expect(duePerson(state, leavingAt(0, { player: '', bench: true }))).toBe('Maren Holt, sits for the bench')
    const unknown = leavingAt(0, { sits: '', player: '1' })
    expect([dueNumber(unknown), duePerson(state, unknown)]).toEqual(['?', 'whoever sits for 1'])
    expect(dueNumber(leavingAt(0, { sits: '', door: 'none' }))).toBe('+1')
  })
  it('fits one line for both sides', () => {
    expect(dueWords(state, [leavingAt(0), leavingAt(0, { sits: '6' }), leavingAt(0, { side: 'visitors', sits: '4' })]))
      .toBe("Kelp Bay 17, 6, home gate; Lanternside 4, visitors' gate")
  })
})
