import { describe, expect, it } from 'vitest'
import type { BehindGame, Counted, LineWhy } from '../../base/transport/season'
import { countsOf, entryText, gamesOf, isCut, leaderOf } from './behind'
import { dayText } from '../../base/words/day'
import { learn, speak } from '../../base/words/words'
import season from '$messages/en/seasonpage.json'

const zero = { played: 1, won: 0, drawn: 0, lost: 0, for: 0, against: 0, points: 0 }
const won: Counted = { ...zero, game: 'a', won: 1, for: 8, against: 0, points: 3 }
const lost: Counted = { ...zero, game: 'b', lost: 1, for: 1, against: 2 }
const line = { team: 'm', name: 'Millrace', place: 1, played: 2, won: 1, drawn: 0, lost: 1, for: 9, against: 2, points: 3, to_come: 0 }

describe('what stands behind a number', () => {
  const why = (ties: LineWhy['ties']): LineWhy => ({ line, games: [won, lost], ties, of: [] })
  const ids = (list: Counted[]) => list.map((one) => one.game).join()

  it('is the games that add to it', () => {
    expect(ids(gamesOf('points', why([])))).toBe('a')
    expect(ids(gamesOf('lost', why([])))).toBe('b')
    expect(ids(gamesOf('goals', why([])))).toBe('a,b')
    expect(ids(gamesOf('drawn', why([])))).toBe('')
  })
  it('is, for a place, the games that the steps looked at', () => {
    expect(ids(gamesOf('place', why([])))).toBe('a,b')
    expect(ids(gamesOf('place', why([{ text: 'above', games: ['b', 'elsewhere'] }])))).toBe('b')
  })
  it('shows where the league counts fewer goals than were scored', () => {
    const game: BehindGame = { id: 'a', home: 'x', visitors: 'm', goals: [0, 11], how: 'reg', from: 'sealed' }
    expect(isCut(game, 'm', won)).toBe(true)
    expect(isCut({ ...game, goals: [0, 8] }, 'm', won)).toBe(false)
  })
  it('is goals and assists for points, and the like', () => {
    const counts = ['goals', 'assists', 'won', 'lost', 'late_lost', 'shots', 'against'].map((figure) => ({ figure, game: 'a', count: 1 }))
    const of = (column: string) => countsOf(column, counts).map((one) => one.figure).join()
    expect(of('points')).toBe('goals,assists')
    expect(of('losses')).toBe('lost')
    expect(of('saved')).toBe('shots,against')
    expect(of('goals')).toBe('goals')
  })
  it('is, for a leader of two teams, what was done for both', () => {
    const leader = { place: 1, name: '#9', teams: ['millrace'], value: 3, played: 2 }
    expect(leaderOf(leader, 'u14')).toEqual({ name: '#9', team: 'millrace', division: 'u14', all: false })
    expect(leaderOf({ ...leader, who: 'tove', teams: ['millrace', 'northmole'] }, 'u14')).toEqual({ who: 'tove', name: '#9', team: 'northmole', division: 'u14', all: true })
  })
  it('says when an entry was', () => {
    learn(season)
    const entry = { entry: 'e', stage: { kind: 'period' as const, number: 2 }, elapsed_ms: 245_000 }
    expect(entryText(entry)).toBe('2nd period, 4:05 played')
    expect(entryText({ ...entry, text: 'Goal.' })).toBe('2nd period, 4:05 played: Goal.')
    expect(entryText({ entry: 'e', elapsed_ms: 0 })).toBe('')
  })
})

describe('a day', () => {
  it('is written in the language of the page, also one that is learned later', () => {
    expect(dayText('2026-11-28')).toBe('Sat 28 Nov')
    speak('de', {})
    expect(dayText('2026-11-28')).toBe('Sa., 28. Nov.')
    speak('en', {})
    expect(dayText('2026-11-28')).toBe('Sat 28 Nov')
  })
})
