import '../../base/words/watching'
import { describe, expect, it } from 'vitest'
import type { Call } from '../../base/contract/contract'
import { minute, momentAt, stateAt } from '../../game/fixture'
import { penaltyRows } from './penalties'

const call = (given: Partial<Call>): Call => ({
  entry: 'c', moment: momentAt(1, 5 * minute), side: 'home', player: '17', bench: false, call: 'tripping', parts: ['minor'], charged_ms: 2 * minute, reasons: [], ...given,
})
const state = stateAt(minute, { calls: [
  call({}), call({ entry: 'd', moment: momentAt(2, 6 * minute), side: 'visitors', player: '', bench: true, call: 'too_many_skaters', parts: ['bench_minor'] }),
  call({ entry: 'e', moment: momentAt(2, 5 * minute), player: '', call: 'boarding', parts: ['minor', 'minor', 'misconduct'], charged_ms: 14 * minute }),
] })

describe('penalties for people who are not there', () => {
  it('are listed newest first, by number, with what is written in the record', () => {
    const rows = penaltyRows(state, 2)
    expect(rows.map((one) => one.entry)).toEqual(['e', 'd', 'c'])
    expect(rows[2]).toEqual({ entry: 'c', side: 'home', when: '5:00 of the 1st', who: 'Kelp Bay 17', what: 'Tripping, Minor', minutes: 2 })
    expect(rows[1]).toMatchObject({ side: 'visitors', who: 'Lanternside bench', what: expect.stringContaining('Bench minor') as string })
    expect(rows[0]).toMatchObject({ who: 'Kelp Bay ?', what: 'Boarding, Double minor + Misconduct', minutes: 14 })
  })
  it('have names where those may be shown', () => {
    const teams = [{ ...state.teams[0], players: [{ number: '17', name: 'Rae Holm' }] }, state.teams[1]] as typeof state.teams
    expect(penaltyRows({ ...state, teams }, 2)[2]?.who).toBe('Kelp Bay 17 Rae Holm')
  })
})
