import '../../base/words/watching'
import { describe, expect, it } from 'vitest'
import type { Goal } from '../../base/contract/contract'
import { minute, momentAt, stateAt } from '../../game/fixture'
import { goalRows } from './goals'

const goal = (given: Partial<Goal>): Goal => ({
  entry: 'g', moment: momentAt(1, 5 * minute), side: 'home', scorer: '12', assists: ['17', ''], class: 'even', empty_net: false, own_goal: false,
  skaters: [5, 5], score: [1, 0], reasons: [], ...given,
})
const state = stateAt(minute, { goals: [goal({}), goal({ entry: 'h', moment: momentAt(2, 6 * minute), side: 'visitors', scorer: '4', assists: [], score: [1, 1] })] })

describe('goals for people who are not there', () => {
  it('are listed newest first, by number', () => {
    expect(goalRows(state, 2)).toEqual([
      { entry: 'h', side: 'visitors', when: '6:00', who: 'Lanternside 4', assists: '', score: '1–1' },
      { entry: 'g', side: 'home', when: '5:00 of the 1st', who: 'Kelp Bay 12', assists: 'from 17, ?', score: '1–0' },
    ])
  })
  it('have names where those may be shown', () => {
    const named = { ...state, teams: [{ ...state.teams[0], players: [{ number: '12', name: 'Rae Holm' }] }, state.teams[1]] as typeof state.teams }
    expect(goalRows(named, 2)[1]?.who).toBe('Kelp Bay 12 Rae Holm')
  })
  it('say no more than the division shows', () => {
    const shows = (display: object) => goalRows({ ...state, division: { ...state.division, display } }, 2)
    expect(shows({ no_score: true })).toEqual([])
    expect(shows({ no_scorers: true })[1]).toMatchObject({ who: 'Kelp Bay', assists: '', score: '1–0' })
    const wide = { ...state, goals: [goal({ score: [9, 1] })], division: { ...state.division, display: { lead_at_most: 5 } } }
    expect(goalRows(wide, 2)[0]?.score).toBe('')
  })
})
