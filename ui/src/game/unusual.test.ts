import { describe, expect, it } from 'vitest'
import { minute, stateAt } from './fixture'
import { unusualStep } from './unusual'

const at = (left: number, length = 12 * minute) => ({ left, length })

describe('a step out of its order says what is unusual', () => {
  it('where a period has time left, or none of it was asked for', () => {
    expect(unusualStep(stateAt(0), { kind: 'intermission', number: 2 }, at(0))).toEqual([])
    expect(unusualStep(stateAt(0), { kind: 'intermission', number: 2 }, at(4000))).toEqual([])
    expect(unusualStep(stateAt(7 * minute), { kind: 'intermission', number: 2 }, at(7 * minute))).toEqual(['2nd period: 7:00 are left on its clock.'])
  })
  it('where the game ends before its last period', () => {
    expect(unusualStep(stateAt(0), { kind: 'over' }, at(0))).toEqual(['Only 2 of 3 periods have been played.'])
    expect(unusualStep(stateAt(minute), { kind: 'over' }, at(minute))).toHaveLength(2)
  })
  it('where a break is cut short or left out', () => {
    const pause = stateAt(0, { stage: { kind: 'intermission', number: 2 } })
    expect(unusualStep(pause, { kind: 'period', number: 3 }, at(59_000, minute))[0]).toContain('0:59')
    expect(unusualStep(pause, { kind: 'period', number: 3 }, at(0, minute))).toEqual([])
    expect(unusualStep(stateAt(0), { kind: 'period', number: 3 }, at(0))).toEqual(['2nd intermission would be left out.'])
  })
  it('where the score is tied and the division plays on', () => {
    const periods = stateAt(0).periods.map((one) => ({ ...one, begun: true }))
    const teams = stateAt(0).teams.map((team) => ({ ...team, score: 2 })) as ReturnType<typeof stateAt>['teams']
    const tied = stateAt(0, { stage: { kind: 'period', number: 3 }, periods, teams, next: [
      { stage: { kind: 'overtime', number: 1 }, length_ms: minute, running: false }, { stage: { kind: 'over' }, length_ms: 0, running: false },
    ] })
    expect(unusualStep(tied, { kind: 'over' }, at(0))).toEqual(['The score is 2-2, and this division plays on when it is tied.'])
    expect(unusualStep({ ...tied, teams: stateAt(0).teams }, { kind: 'over' }, at(0))).toEqual([])
  })
  it('but not after the goal that decides, whatever the clock says', () => {
    const periods = stateAt(0).periods.map((one) => ({ ...one, begun: true }))
    const decided = stateAt(minute, { stage: { kind: 'overtime', number: 1 }, periods, hold: [{ key: 'decided', say: { key: 'hold.decided' } }] as never })
    expect(unusualStep(decided, { kind: 'over' }, at(minute))).toEqual([])
  })
})
