import { describe, expect, it } from 'vitest'
import type { Entry } from '../../base/contract/contract'
import { stateAt } from '../../game/fixture'
import { draft } from '../../base/transport/draft'
import { Refused } from '../../base/transport/api'
import { refusalsOf } from './refusals'
import { editWords, mineAgain } from './stale'

const make = ((kind, body, more) => draft({ game: 'g', kind, body, wall: 0, ...more })) as Parameters<typeof mineAgain>[0]['draft']
const amended = (scorer: string) => make('amended', { kind: 'goal', body: { side: 'home', scorer } }, { of: 'goal' })
const game = { draft: make }

describe('an edit that came second', () => {
  it('is told apart from the first in words', () => {
    const state = stateAt(60_000)
    expect(editWords(amended('12'), state)).toContain('12')
    expect(editWords(make('struck', {}, { of: 'goal' }), state)).toBe('taken out of the game')
  })
  it('is made anew: the same words, another id, now', () => {
    const mine = amended('12')
    const [again, ...none] = mineAgain(game, [mine], { of: 'goal', yours: mine, theirs: amended('17') }, 5000)
    expect(none).toEqual([])
    expect(again).toMatchObject({ of: 'goal', data: mine.data, time: new Date(5000).toISOString() })
    expect(again?.id).not.toBe(mine.id)
  })
  it('brings back first what the other one took out', () => {
    const mine = amended('12')
    const theirs = { ...make('struck', {}, { of: 'goal' }), id: 'strike' } as Entry
    expect(mineAgain(game, [mine], { of: 'goal', yours: mine, theirs }, 0).map((one) => [one.type, one.of])).toEqual([
      ['whistlestop.struck.v1', 'strike'], ['whistlestop.amended.v1', 'goal'],
    ])
  })
  it('stands alone among the refusals; the same reason is said once', () => {
    const mine = amended('12')
    const no = (why: string, stale = false) => {
      const batch = { key: `${why}${keys++}`, entries: [mine], saw: 0 }
      return { batch, why: new Refused(422, '', why, [], stale ? { of: 'goal', yours: mine, theirs: mine } : undefined) }
    }
    let keys = 0
    const list = [no('a'), no('b'), no('a'), no('a', true), no('a', true)]
    expect(refusalsOf(list).map((one) => one.keys)).toEqual([['a0', 'a2'], ['b1'], ['a3'], ['a4']])
  })
  it('does not bring back what both took out', () => {
    const mine = make('struck', {}, { of: 'goal' })
    const theirs = { ...make('struck', {}, { of: 'goal' }), id: 'strike' } as Entry
    expect(mineAgain(game, [mine], { of: 'goal', yours: mine, theirs }, 0)).toHaveLength(1)
  })
})
