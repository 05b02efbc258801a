import { describe, expect, it } from 'vitest'
import type { Entry, State } from '../../base/contract/contract'
import { line, minute, momentAt, stateAt } from '../../game/fixture'
import { draft } from '../../base/transport/draft'
import { emptyBuilt } from './built'
import { CallBuilder } from './builder.svelte'
import { builtBefore, keepBuilt } from './kept'
import { repeatsOf } from './repeats'

type Body = Extract<Entry, { type: 'whistlestop.penalty.v1' }>['data']['body']
const trip: Body = { side: 'home', player: '17', call: 'tripping', parts: ['minor'] }
const moment = momentAt(2, 5 * minute)
const book = (...lines: Parameters<typeof line>[0][]): State => stateAt(5 * minute, { lines: lines.map((one) => line({ moment, ...one } as Parameters<typeof line>[0])) })
const penalty = (body: Body) => draft({ game: 'g', kind: 'penalty', body, wall: 0 })
const goal = (scorer: string, side: 'home' | 'visitors' = 'home') => draft({ game: 'g', kind: 'goal', body: { side, scorer }, wall: 0 })
const again = (state: State, one: Entry, abs = moment.abs_ms, wall = 0) => repeatsOf(state, [one], () => abs, wall).map(({ line: found }) => found.entry)

describe('what seems to be in the book already', () => {
  const state = book({ entry: 'p', kind: 'penalty', body: trip }, { entry: 'g', kind: 'goal', body: { side: 'home', scorer: '12' } })

  it('is the same penalty of the same player, at the same time or entered a moment ago', () => {
    expect(again(state, penalty(trip))).toEqual(['p'])
    expect(again(state, penalty(trip), moment.abs_ms + 30_000, 60_000)).toEqual(['p'])
    expect(again(state, penalty(trip), moment.abs_ms, 3_600_000)).toEqual(['p'])
  })
  it('is not another penalty, another player, or a later one', () => {
    expect(again(state, penalty({ ...trip, call: 'hooking' }))).toEqual([])
    expect(again(state, penalty({ ...trip, player: '12' }))).toEqual([])
    expect(again(state, penalty({ ...trip, side: 'visitors' }))).toEqual([])
    expect(again(state, penalty(trip), moment.abs_ms + 30_000, 300_000)).toEqual([])
    expect(again(state, penalty(trip), moment.abs_ms + 90_000)).toEqual([])
    expect(again(state, penalty({ ...trip, player: '' }))).toEqual([])
  })
  it('is a goal of the same scorer', () => {
    expect(again(state, goal('12'))).toEqual(['g'])
    expect(again(state, goal('9'))).toEqual([])
    expect(again(state, goal('12', 'visitors'))).toEqual([])
  })
  it('is nothing that was taken back', () => {
    expect(again(book({ entry: 'p', kind: 'penalty', body: trip, struck: true }), penalty(trip))).toEqual([])
  })
})

describe('a half-built call', () => {
  function shelf() {
    const all = new Map<string, string>()
    return { getItem: (key: string) => all.get(key) ?? null, setItem: (key: string, text: string) => void all.set(key, text), removeItem: (key: string) => void all.delete(key) }
  }
  it('is there again after the page was loaded again', () => {
    const place = shelf()
    const before = new CallBuilder()
    before.setKind('penalty')
    before.setSide('home')
    before.pickNumber('17')
    keepBuilt('g', before.kept, place)
    const after = new CallBuilder()
    const kept = builtBefore('g', place)
    if (kept) after.resume(kept)
    expect(after.current).toEqual(before.current)
    expect(builtBefore('other', place)).toBeNull()
    keepBuilt('g', new CallBuilder().kept, place)
    expect(builtBefore('g', place)).toBeNull()
  })
  it('is left alone where it cannot be read', () => {
    const place = shelf()
    for (const text of ['', '{', '7', '{"current":{}}', '{"current":{"kind":"goal"}}']) {
      place.setItem('whistlestop.built.g', text)
      expect(builtBefore('g', place)).toBeNull()
    }
    place.setItem('whistlestop.built.g', JSON.stringify({ current: emptyBuilt('goal', 'home'), collected: [] }))
    expect(builtBefore('g', place)).toMatchObject({ current: { kind: 'goal' }, at: '' })
  })
})
