import { beforeEach, describe, expect, it } from 'vitest'
import { line, momentAt, stateAt } from '../../game/fixture'
import { CallBuilder, numbersOf } from './builder.svelte'
import { builtBefore, keepBuilt } from './kept'

const state = stateAt(600_000)
const ground = { game: state.game, division: state.division, periods: state.periods }
const minor = ['minor'] as const
let builder: CallBuilder
const posts = () => builder.drafts(ground, 5000).map(({ type, of, data }) => ({ type, of, ...data }))

beforeEach(() => {
  builder = new CallBuilder()
})

describe('a call built by touch', () => {
  it('takes side, number and call, in any order', () => {
    builder.setKind('penalty')
    builder.setSide('home')
    builder.pickNumber('17')
    builder.pickCall('tripping', [...minor])
    const wanted = { side: 'home', player: '17', call: 'tripping', parts: ['minor'] }
    expect(posts()).toMatchObject([{ type: 'whistlestop.penalty.v1', at: { period: 0, elapsed_ms: 0 }, body: wanted }])
    builder.clear()
    builder.pickCall('tripping', [...minor])
    builder.setSide('home')
    builder.pickNumber('17')
    expect(posts()[0]?.body).toEqual(wanted)
  })
  it('accepts half a call, and nothing less', () => {
    builder.setKind('penalty')
    expect(builder.ready).toBe(false)
    expect(posts()).toEqual([])
    builder.setSide('visitors')
    expect(builder.ready).toBe(true)
    expect(posts()[0]?.body).toEqual({ side: 'visitors', parts: ['minor'] })
  })
  it('keeps parts that were chosen when the call changes', () => {
    builder.setKind('penalty')
    builder.setSide('home')
    builder.pickBase('major')
    builder.toggleExtra('game_misconduct')
    builder.pickCall('tripping', [...minor])
    expect(posts()[0]?.body).toMatchObject({ parts: ['major', 'game_misconduct'] })
  })
  it('makes a bench minor of a call that is the bench\'s', () => {
    builder.setSide('home')
    builder.pickCall('too_many_players', ['bench_minor'])
    builder.set({ servedBy: '12' })
    expect(posts()[0]?.body).toEqual({ side: 'home', bench: true, call: 'too_many_players', parts: ['bench_minor'], served_by: '12' })
  })
  it('fills scorer and assists one after the other, and takes them back', () => {
    builder.setKind('goal')
    builder.setSide('home')
    for (const number of ['12', '17', 'owed']) builder.pickNumber(number)
    expect(posts()[0]?.body).toEqual({ side: 'home', scorer: '12', assists: ['17', ''] })
    builder.pickNumber('17')
    expect(posts()[0]?.body).toEqual({ side: 'home', scorer: '12', assists: [''] })
    builder.clearSlot('who')
    builder.pickNumber('9')
    expect(posts()[0]?.body).toEqual({ side: 'home', scorer: '9', assists: [''] })
  })
  it('forgets the numbers of a side when the side was wrong', () => {
    builder.setKind('goal')
    builder.setSide('home')
    builder.pickNumber('12')
    builder.setSide('visitors')
    expect(posts()[0]?.body).toEqual({ side: 'visitors' })
  })
})

describe('the calls of one stoppage', () => {
  it('are posted together, in the order in which they were called', () => {
    builder.setKind('penalty')
    builder.setSide('home')
    builder.pickNumber('17')
    builder.collect()
    expect(builder.busy).toBe(true)
    expect(builder.ready).toBe(true)
    builder.setKind('penalty')
    builder.setSide('visitors')
    builder.pickNumber('4')
    expect(posts().map((post) => post.body)).toMatchObject([{ player: '17' }, { player: '4' }])
    builder.drop(0)
    expect(posts()).toHaveLength(1)
    builder.back()
    builder.back()
    expect(builder.busy).toBe(false)
  })
  it('are all at the time that was said for one of them', () => {
    builder.setKind('penalty')
    builder.setSide('home')
    builder.setAt('9:30', 2)
    builder.collect()
    builder.setKind('penalty')
    builder.setSide('visitors')
    expect(posts().map((post) => post.at)).toEqual([{ period: 2, elapsed_ms: 150_000 }, { period: 2, elapsed_ms: 150_000 }])
    builder.reopen(0)
    expect(builder.at).toBe('9:30')
    builder.clear()
    expect(builder.at).toBe('')
  })
  it('comes back whole when one is taken up again', () => {
    builder.setKind('penalty')
    builder.setSide('home')
    builder.pickNumber('17')
    builder.collect()
    builder.reopen(0)
    expect(builder.current).toMatchObject({ side: 'home', who: '17' })
    expect(builder.collected).toEqual([])
  })
})

describe('what is entered while the clock runs', () => {
  const began = { period: 2, elapsed_ms: 61_500 }
  it('counts from the first touch, with all the calls of the stoppage', () => {
    builder.began = began
    builder.setKind('penalty')
    builder.setSide('home')
    builder.collect()
    builder.setKind('goal')
    builder.setSide('visitors')
    const at = (runs: boolean) => builder.drafts({ ...ground, runs }, 5000).map((one) => one.data.at)
    expect(at(true)).toEqual([began, began])
    // Stopped meanwhile: the whistle is where the clock stands.
    expect(at(false)).toEqual([{ period: 0, elapsed_ms: 0 }, { period: 0, elapsed_ms: 0 }])
    builder.at = '5:00'
    expect(at(true)[1]).toEqual({ period: 2, elapsed_ms: 420_000 })
  })
})

describe('what is no goal and no call', () => {
  it('asks for its own answers only', () => {
    builder.setKind('delay')
    expect(builder.missing).toBe('why')
    builder.set({ why: 'ice', length: 600_000 })
    expect(posts()).toMatchObject([{ type: 'whistlestop.delay.v1', body: { why: 'ice', length_ms: 600_000 } }])
    builder.setKind('goalkeeper')
    expect(builder.missing).toBe('keeper')
    builder.set({ side: 'home', who: 'nobody' })
    expect(posts()[0]?.body).toEqual({ side: 'home' })
    builder.set({ side: 'home', who: '31' })
    expect(posts()[0]?.body).toEqual({ side: 'home', number: '31' })
  })
})

describe('an empty net', () => {
  it('is filled in for a goal against it, and can be taken back', () => {
    builder.emptyNets = ['visitors']
    builder.setKind('goal')
    builder.setSide('visitors')
    expect(builder.current.emptyNet).toBe(false)
    builder.setSide('home')
    expect(posts()[0]?.body).toEqual({ side: 'home', empty_net: true })
    builder.set({ emptyNet: false })
    expect(posts()[0]?.body).toEqual({ side: 'home' })
    builder.type('g h 12 -', { calls: [], teams: [] })
    expect(posts()[0]?.body).toMatchObject({ scorer: '12', empty_net: true })
  })
})

describe('putting right', () => {
  const goal = line({
    entry: '01JD0000000000000000000007', kind: 'goal', moment: { ...momentAt(2, 304_500) },
    body: { side: 'home', scorer: '12', assists: ['17'] },
  })
  it('keeps the moment to the millisecond while its time reads the same', () => {
    builder.amend(goal)
    expect(builder.at).toBe('5:05')
    builder.chooseSlot('who')
    builder.pickNumber('9')
    expect(posts()).toEqual([{
      type: 'whistlestop.amended.v1', of: goal.entry, at: { period: 0, elapsed_ms: 0 }, // left alone
      body: { kind: 'goal', body: { side: 'home', scorer: '9', assists: ['17'] } },
    }])
  })
  it('moves it to another time and period', () => {
    builder.amend(goal)
    builder.setAt('5:10', 1)
    expect(posts()[0]?.at).toEqual({ period: 1, elapsed_ms: 410_000 })
    builder.setAt('soon')
    expect(builder.ready).toBe(false)
  })
  it('takes a stop to the millisecond, picked or typed', () => {
    builder.amend(goal)
    builder.pickStop({ period: 2, elapsed_ms: 300_123 }, 419_877)
    expect(builder.at).toBe('7:00')
    expect(posts()[0]?.at).toEqual({ period: 2, elapsed_ms: 300_123 })
    builder.setAt('7:00')
    expect(builder.drafts({ ...ground, stopAt: () => ({ period: 2, elapsed_ms: 300_456 }) }, 0)[0]?.data.at.elapsed_ms).toBe(300_456)
  })
  it('orders the lines of a whistle, its own moment left alone', () => {
    const other = line({ ...goal, entry: '01JD0000000000000000000008', kind: 'goal', body: { side: 'visitors' } })
    builder.amend(goal)
    builder.order({ '': 1, [other.entry]: 2 }, [other])
    expect(posts().map(({ of, at }) => [of, at])).toEqual([
      [goal.entry, { period: 2, elapsed_ms: 415_500, order: 1 }],
      [other.entry, { period: 2, elapsed_ms: 415_500, order: 2 }],
    ])
    builder.setAt('5:10')
    expect(posts()).toHaveLength(1)
  })
  it('goes on with a change when the page is loaded again, from the state that it was made from', () => {
    builder.amend(goal)
    builder.saw = 9
    builder.pickNumber('17')
    const shelf = new Map<string, string>()
    const place = { getItem: (key: string) => shelf.get(key) ?? null, setItem: (key: string, text: string) => void shelf.set(key, text), removeItem: (key: string) => void shelf.delete(key) }
    keepBuilt('g', builder.kept, place)
    const wanted = posts()
    builder = new CallBuilder()
    const kept = builtBefore('g', place)
    if (kept) builder.resume(kept)
    expect([builder.amending?.entry, builder.saw]).toEqual([goal.entry, 9])
    expect(posts()).toEqual(wanted)
    expect(posts()).toMatchObject([{ type: 'whistlestop.amended.v1', of: goal.entry }])
  })
  it('strikes a line', () => {
    builder.strike(goal)
    expect(posts()).toMatchObject([{ type: 'whistlestop.struck.v1', of: goal.entry, body: {} }])
    builder.back()
    expect(builder.ready).toBe(false)
  })
})

it('shows goalkeepers after the skaters', () => {
  expect(numbersOf(state.teams[0])).toEqual(['12', '17', '1'])
})
