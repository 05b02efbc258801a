import { describe, expect, it } from 'vitest'
import type { Line } from '../../base/contract/contract'
import { line } from '../../game/fixture'
import { byFrequency, countedGames, countGame, countsWithout, type Games, tallyOf, withGame } from './frequent'

const call = (id: string, more: Partial<Line> = {}) => line({ entry: id + Math.random(), kind: 'penalty', seq: 1, body: { side: 'home', call: id, parts: ['minor'] }, ...more } as Parameters<typeof line>[0])
const book = ['tripping', 'hooking', 'slashing', 'diving', 'other'].map((id) => ({ id }))
const order = (counts: Record<string, number>) => byFrequency(book, counts).map(({ id }) => id)

function shelf(): Pick<Storage, 'getItem' | 'setItem'> {
  const kept = new Map<string, string>()
  return { getItem: (key) => kept.get(key) ?? null, setItem: (key, text) => void kept.set(key, text) }
}

describe('the order in which calls are offered', () => {
  it('is the book\'s where nothing was counted, and for what was counted equally often', () => {
    expect(order({})).toEqual(['tripping', 'hooking', 'slashing', 'diving', 'other'])
    expect(order({ diving: 2, slashing: 2 })).toEqual(['slashing', 'diving', 'tripping', 'hooking', 'other'])
  })
  it('begins with the most frequent, and ends with "other" whatever was counted', () => {
    expect(order({ hooking: 9, tripping: 3, other: 40, unknown: 7 })).toEqual(['hooking', 'tripping', 'slashing', 'diving', 'other'])
    expect(book.map(({ id }) => id)).toEqual(['tripping', 'hooking', 'slashing', 'diving', 'other'])
  })
  it('counts what counts, in the games of the division, and not in this one', () => {
    const lines = [call('hooking'), call('hooking'), call('diving', { struck: true }), line({ entry: 'g', kind: 'goal', seq: 2, body: { side: 'home' } } as Parameters<typeof line>[0])]
    expect(tallyOf(lines)).toEqual({ hooking: 2 })
    const games: Games = [['a', { hooking: 2 }], ['b', { hooking: 1, tripping: 4 }]]
    expect(countsWithout(games, 'b')).toEqual({ hooking: 2 })
    expect(countsWithout(games, 'c')).toEqual({ hooking: 3, tripping: 4 })
  })
  it('counts a game once, forgets the oldest beyond forty, and a game whose calls were all taken back', () => {
    let games: Games = []
    for (let i = 0; i < 50; i++) games = withGame(games, `g${i}`, { tripping: 1 })
    games = withGame(games, 'g49', { tripping: 3 })
    expect(games).toHaveLength(40)
    expect(games[0]?.[0]).toBe('g10')
    expect(countsWithout(games, '')).toEqual({ tripping: 42 })
    expect(withGame(games, 'g49', {})).toHaveLength(39)
  })
  it('is kept on the device by division, and nothing that cannot be read stops a game', () => {
    const kept = shelf()
    countGame('u14', 'a', [call('diving')], kept)
    countGame('u14', 'a', [call('diving'), call('diving')], kept)
    expect(countedGames('u14', kept)).toEqual([['a', { diving: 2 }]])
    expect(countedGames('u16', kept)).toEqual([])
    for (const broken of ['{', '7', '[7]', '[["a", 3]]', '[["a", {"x": "y"}]]', 'null']) {
      kept.setItem('whistlestop.calls.u14', broken)
      expect(countedGames('u14', kept)).toEqual([])
    }
  })
})
