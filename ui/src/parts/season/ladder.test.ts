import { describe, expect, it } from 'vitest'
import season from '$messages/en/seasonpage.json'
import type { ReadyLadder } from '../../base/transport/league-form'
import { learn } from '../../base/words/words'
import { ladderText, stepName } from './ladder'

const ladder: ReadyLadder = { id: 'harbour', source: 'invented', points: {}, first: 'pts', two: ['h2h.pts', 'gd8'], more: [], way: 'continue', direct_if_met: false }

describe('a ladder in words', () => {
  learn(season)
  it('names its steps', () => {
    expect(stepName('pts')).toBe('points')
    expect(stepName('h2h.gd8')).toBe('goal difference, of each game 8 at most, in the games among the equal teams')
    expect(stepName('pts_per_game')).toBe('points a game')
    expect(stepName('somebody new')).toBe('somebody new')
  })
  it('says how equal teams are parted', () => {
    expect(ladderText(ladder)).toBe(
      'First by points. Equal teams: points, in the games among the equal teams; goal difference, of each game 8 at most. After a step placed somebody: those left go on with the next step.',
    )
    expect(ladderText({ ...ladder, more: ['w'] })).toContain('Two equal teams: points, in the games among the equal teams; goal difference, of each game 8 at most. Three or more: wins.')
  })
})
