import { describe, expect, it } from 'vitest'
import { stateAt } from '../../game/fixture'
import { divisionFacts } from './facts'

const { division } = stateAt(0)

describe('what a division does', () => {
  it('is said with periods, intermissions, the minor and running time', () => {
    expect(divisionFacts(division)).toBe('Periods 3 × 12:00, minor 1:30, 5 skaters a side. Intermissions 2 × 1:00. Stop time throughout.')
    expect(divisionFacts({ ...division, running: { lead: 7 } })).toContain('Running time from a lead of 7; the referee is spoken to at 4 and 5.')
    expect(divisionFacts({ ...division, running: { lead: 8, ends_game: true } })).toContain('A lead of 8 ends the game.')
  })
  it('lists lengths that differ, and periods with a running clock', () => {
    const uneven = { ...division, periods_ms: [600_000, 900_000], intermissions_ms: [60_000], clock: { running: true, running_periods: [1] } }
    expect(divisionFacts(uneven)).toBe('Periods 10:00, 15:00, minor 1:30, 5 skaters a side. Intermissions 1 × 1:00. The clock runs through stoppages in period 1.')
    expect(divisionFacts({ ...division, clock: { running: true } })).toContain('The clock runs through stoppages.')
  })
})
