import { describe, expect, it } from 'vitest'
import season from '$messages/en/seasonpage.json'
import type { ReadyLadder } from '../../base/transport/league-form'
import { learn } from '../../base/words/words'
import { ladderText, stepName } from './ladder'

const ladder: ReadyLadder = { id: 'harbour', source: 'invented', points: {}, first: 'pts', two: ['h2h.pts', 'h2h.w', 'gd8'], more: [], way: 'continue', direct_if_met: false }

describe('a ladder in words', () => {
  learn(season)
  it('names its steps', () => {
    expect(stepName('pts')).toBe('points')
    expect(stepName('h2h.gd8')).toBe('goal difference (8 a game at most), in the games among the equal teams')
    expect(stepName('pts_per_game')).toBe('points a game')
    expect(stepName('somebody new')).toBe('somebody new')
  })
  it('says how equal teams are parted', () => {
    expect(ladderText(ladder)).toBe(
      'First by points. Equal teams: in the games among them points, wins; in all games goal difference (8 a game at most). After a step placed somebody: those left go on with the next step.',
    )
    expect(ladderText({ ...ladder, more: ['w'] })).toContain('Two equal teams: in the games among them points, wins; in all games goal difference (8 a game at most). Three or more: in all games wins.')
  })
})
