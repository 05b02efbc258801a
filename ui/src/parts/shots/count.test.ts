import { describe, expect, it } from 'vitest'
import type { Entry, State } from '../../base/contract/contract'
import { line, minute, momentAt, stateAt } from '../../game/fixture'
import type { LiveGame } from '../../game/live.svelte'
import { draft } from '../../base/transport/draft'
import { countedPeriod, keeping, lastShots, shotsOf, tally, unsentShots } from './count'

const shots = (entry: string, count: number, given: { period?: number; side?: 'home' | 'visitors'; seat?: 'solo' | 'shots'; struck?: boolean } = {}) =>
  line({
    entry, kind: 'shots', body: { side: given.side ?? 'home', count }, moment: momentAt(given.period ?? 2, 6 * minute),
    seat: given.seat ?? 'shots', struck: given.struck ?? false,
  })
const making: LiveGame['draft'] = (kind, body, more = {}) => draft({ game: 'g', kind, body, ...more, wall: 0 })

function counted(count: number, given: Partial<State> = {}): State {
  const state = stateAt(6 * minute, given)
  return { ...state, book: { ...state.book, shots: [
    { period: 1, side: 'home', goalkeeper: '30', count: 9 },
    { period: 2, side: 'home', goalkeeper: '30', count },
  ], ...given.book } }
}

describe('shots', () => {
  it('are counted by period, in the newest one that was begun', () => {
    const state = counted(4)
    expect([countedPeriod(state), shotsOf(state, 'home', 2), shotsOf(state, 'home'), shotsOf(state, 'visitors')]).toEqual([2, 4, 13, 0])
  })
  it('show what was tapped and is not answered yet, and what was taken back', () => {
    const state = counted(4, { lines: [shots('a', 1)] })
    const tap = making('shots', { side: 'home', count: 1 }, {})
    const known = { ...tap, id: 'a' }
    expect(unsentShots(state, [tap, known], 'home')).toBe(1)
    expect(unsentShots(state, [tap], 'visitors')).toBe(0)
    expect(unsentShots(state, [tap, making('struck', {}, { of: tap.id })], 'home')).toBe(0)
    expect(unsentShots(state, [making('struck', {}, { of: 'a' })], 'home')).toBe(-1)
  })
  it('are taken back one by one, the newest of this seat first', () => {
    const state = counted(2, { lines: [shots('a', 1), shots('b', 1, { seat: 'solo' }), shots('c', 1, { struck: true })] })
    expect(lastShots(state, 'shots', [{ id: 'd', side: 'visitors' }], [])?.id).toBe('d')
    expect(lastShots(state, 'shots', [{ id: 'c', side: 'home' }], [])?.id).toBe('a')
    expect(lastShots(state, 'solo', [], [])?.id).toBe('b')
    // A second tap on undo takes the one before, although the first is not answered yet.
    const tapped = [{ id: 'd', side: 'home' as const }, { id: 'e', side: 'visitors' as const }]
    expect(lastShots(state, 'shots', tapped, [making('struck', {}, { of: 'e' })])?.id).toBe('d')
    expect(lastShots(stateAt(0), 'shots', [], [])).toBeNull()
    // A seat of one side is offered nothing that it may not take back.
    const both = counted(2, { lines: [shots('a', 1), shots('f', 1, { side: 'visitors' })] })
    expect(lastShots(both, 'shots', [], [], 'home')?.id).toBe('a')
    expect(lastShots(both, 'shots', [], [], 'visitors')?.id).toBe('f')
    expect(lastShots(counted(2, { lines: [shots('a', 1)] }), 'shots', [], [], 'visitors')).toBeNull()
  })
})

describe('a count from paper', () => {
  const says = (entries: Entry[]) => entries.map((one) => [one.type.split('.')[1], one.of ?? '', one.data.body])
  it('adds what is missing, at the end of a period that is over', () => {
    const list = tally(counted(4, { lines: [shots('a', 9, { period: 1 })] }), 'home', 1, 12, making)
    expect(says(list)).toEqual([['shots', '', { side: 'home', count: 3 }]])
    expect(list[0]?.data.at).toEqual({ period: 1, elapsed_ms: 12 * minute })
    expect(says(tally(counted(4), 'home', 2, 204, making)).map(([, , body]) => body)).toEqual([{ side: 'home', count: 99 }, { side: 'home', count: 99 }, { side: 'home', count: 2 }])
    expect(tally(counted(4), 'home', 2, 5, making)[0]?.data.at).toEqual({ period: 2, elapsed_ms: 6 * minute })
  })
  it('takes off what is too much, newest first', () => {
    const state = counted(6, { lines: [shots('a', 4), shots('b', 1), shots('x', 9, { period: 1 }), shots('c', 1)] })
    expect(says(tally(state, 'home', 2, 2, making))).toEqual([
      ['struck', 'c', {}], ['struck', 'b', {}], ['amended', 'a', { kind: 'shots', body: { side: 'home', count: 2 } }],
    ])
  })
  it('does nothing where it agrees', () => {
    expect(tally(counted(4), 'home', 2, 4, making)).toEqual([])
    expect(tally(counted(4), 'home', 9, 4, making)).toEqual([])
  })
})

describe('goalkeepers', () => {
  it('have saved the shots that were no goals while they kept goal', () => {
    const goal = {
      entry: 'g', moment: momentAt(1, 3 * minute), side: 'home' as const, scorer: '12', assists: [], class: 'even' as const,
      empty_net: false, own_goal: false, skaters: [5, 5] as [number, number], score: [1, 0] as [number, number], reasons: [],
    }
    const state = counted(4, { goals: [goal, { ...goal, entry: 'h', empty_net: true }, { ...goal, entry: 'i', on: 'awarded' }] })
    state.book.keepers = [{ entry: 'k', side: 'visitors', number: '30', from: { ...momentAt(1, 12 * minute), abs_ms: 0 } }]
    expect(keeping(state)).toEqual([{ side: 'visitors', number: '30', shots: 13, goals: 1, saves: 12 }])
  })
})
