import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { line, minute, momentAt, stateAt, term } from '../../game/fixture'
import { nudged, readAt, stopBeside, stopNear, whenOf } from './moment'
import { inOrder, moveTo, type Place } from './order'
import { pastOf } from './past'
import { stopAt, stopsOf } from './stops'

describe('the stops of a period', () => {
  const goal = line({ entry: 'g', kind: 'goal', moment: momentAt(2, 9.2 * minute), body: { side: 'home' } })
  const state = stateAt(5 * minute, {
    lines: [
      line({ entry: 'a', kind: 'stage_begun', moment: momentAt(2, 12 * minute), body: { stage: { kind: 'period', number: 2 }, length_ms: 12 * minute } }),
      line({ entry: 'b', kind: 'clock_stopped', moment: momentAt(2, 9.2 * minute), body: { elapsed_ms: 2.8 * minute } }),
      goal,
      line({ entry: 'c', kind: 'clock_stopped', moment: momentAt(2, 5 * minute), body: { elapsed_ms: 7 * minute } }),
      line({ entry: 'd', kind: 'clock_set', moment: momentAt(2, 5.15 * minute), body: { elapsed_ms: 6.85 * minute, moves: true } }),
      line({ entry: 'e', kind: 'clock_stopped', moment: momentAt(1, minute), body: { elapsed_ms: 11 * minute } }),
      line({ entry: 'f', kind: 'penalty', moment: momentAt(2, 7 * minute), body: { side: 'home', parts: ['minor'] }, struck: true }),
      line({ entry: 'h', kind: 'penalty', moment: momentAt(2, 8 * minute), body: { side: 'home', parts: ['minor'] } }),
    ],
  })
  it('are its start, its whistles and what was entered, without what was struck or moved away', () => {
    expect(stopsOf(state, 2).map((one) => one.left)).toEqual([12, 9.2, 8, 5.15].map((left) => left * minute))
    expect(stopsOf(state, 2)[1]?.plays).toEqual([goal])
    expect(stopsOf(state, 3)).toEqual([])
  })
  it('are what a time in whole seconds means', () => {
    const late = { ...state, lines: [...state.lines, line({ entry: 'i', kind: 'clock_stopped', moment: momentAt(2, 4 * minute - 400), body: { elapsed_ms: 0 } })] }
    expect(stopAt(late, 2, 4 * minute)?.left).toBe(4 * minute - 400)
    expect(stopAt(late, 2, 3.5 * minute)).toBeNull()
  })
})

describe('the order at a whistle', () => {
  const place = (entry: string, seq: number, order = 0): Place => ({ entry, seq, order })
  it('changes one number where that is enough', () => {
    const places = [place('a', 1), place('b', 2), place('c', 3)]
    expect(moveTo(places, 'c', 0)).toEqual({ c: -1 })
    expect(moveTo(places, 'a', 2)).toEqual({ a: 1 })
    expect(moveTo(places, 'b', 1)).toEqual({})
  })
  it('leads to the order that was wanted, whatever the numbers were', () => {
    const numbers = fc.uniqueArray(fc.record({ seq: fc.integer({ min: 1, max: 30 }), order: fc.integer({ min: -3, max: 3 }) }), {
      selector: (one) => one.seq, minLength: 1, maxLength: 7,
    })
    fc.assert(fc.property(numbers, fc.nat(6), fc.nat(6), (list, from, to) => {
      const places = inOrder(list.map((one) => place(`e${one.seq}`, one.seq, one.order)))
      const mover = places[from % places.length] as Place
      const index = to % places.length
      const wanted = places.filter((one) => one !== mover).map((one) => one.entry)
      wanted.splice(index, 0, mover.entry)
      const changed = moveTo(places, mover.entry, index)
      const after = inOrder(places.map((one) => ({ ...one, order: changed[one.entry] ?? one.order })))
      expect(after.map((one) => one.entry)).toEqual(wanted)
    }))
  })
})

describe('the rail of what was played', () => {
  const asked = (given = {}) => ({ at: '', atPeriod: 0, picked: null, amending: null, ...given })
  const whistle = (entry: string, left: number) =>
    line({ entry, kind: 'clock_stopped', moment: momentAt(2, left), body: { elapsed_ms: 12 * minute - left } })
  const state = stateAt(5 * minute, {
    lines: [whistle('a', 9 * minute), whistle('b', 8 * minute - 400)],
    terms: [
      term({ id: 'over', start: momentAt(2, 10 * minute), end: momentAt(2, 8.5 * minute) }),
      term({ id: 'runs', sits: '', player: '4', start: momentAt(2, 9 * minute), end: momentAt(2, 4 * minute) }),
      term({ id: 'then', start: momentAt(2, 8 * minute), end: momentAt(2, 6.5 * minute) }),
      term({ id: 'carried', start: momentAt(1, minute), end: momentAt(2, 11.5 * minute) }),
      term({ id: 'wiped', ended: 'wiped', start: momentAt(2, 10 * minute), end: momentAt(2, 8 * minute) }),
      { ...term({ id: 'free', door: 'next_whistle', start: momentAt(2, 7 * minute), end: momentAt(2, 6 * minute) }), out: undefined },
    ],
    goals: [{ entry: 'g', moment: momentAt(2, 7.5 * minute), side: 'home', scorer: '9', assists: [], class: 'even', empty_net: false, own_goal: false, skaters: [5, 5], score: [1, 0], reasons: [] }],
  })
  const when = whenOf(state, asked(), 7 * minute)
  const elapsed = (left: number) => 12 * minute - left

  it('knows how far the period was played, and what was said', () => {
    expect([when.until, when.chosen, when.wrong]).toEqual([7 * minute, null, false])
    expect(whenOf(state, asked({ atPeriod: 1 }), 7 * minute).until).toBe(12 * minute)
    expect(whenOf(state, asked({ at: '13:00' }), 0).wrong).toBe(true)
    expect(whenOf(state, asked({ at: 'soon' }), 0).wrong).toBe(true)
    // Whole seconds mean the whistle, to the millisecond.
    expect(whenOf(state, asked({ at: '8:00' }), 7 * minute).here?.left).toBe(8 * minute - 400)
    const amending = line({ entry: 'x', kind: 'goal', moment: momentAt(2, 6 * minute - 250), body: { side: 'home' } })
    expect(whenOf(state, asked({ at: '6:00', atPeriod: 2, amending }), 7 * minute).chosen).toBe(elapsed(6 * minute - 250))
  })
  it('means the whistle near a finger, and the second elsewhere', () => {
    expect(stopNear(when, elapsed(8.9 * minute), 10_000)?.left).toBe(9 * minute)
    expect(stopNear(when, elapsed(8.5 * minute), 10_000)).toBeNull()
    expect(stopNear(when, elapsed(8.45 * minute), 40_000)?.left).toBe(8 * minute - 400)
    expect(readAt(when, elapsed(8.5 * minute) + 300)).toBe('8:30')
    expect([readAt(when, -5), readAt(when, 99 * minute)]).toEqual(['12:00', '5:00'])
  })
  it('is nudged by seconds, and never beyond what was played', () => {
    expect([nudged(when, -1), nudged(when, 1)]).toEqual(['5:01', '5:00'])
    const at = (left: number) => ({ ...when, chosen: elapsed(left) })
    expect([nudged(at(8 * minute - 400), -1), nudged(at(8 * minute - 400), 1)]).toEqual(['8:01', '7:59'])
    expect(nudged(at(12 * minute), -1)).toBe('12:00')
    expect([stopBeside(at(9 * minute), true)?.left, stopBeside(at(9 * minute), false)?.left]).toEqual([8 * minute - 400, undefined])
    expect(stopBeside(when, false)?.left).toBe(8 * minute - 400)
  })
  it('shows who sat, and the goals, each with room for its words', () => {
    const span = state.periods[1] as (typeof state.periods)[number]
    const pieces = pastOf(state, 'home', span, 7 * minute, 30_000, 10_000)
    expect(pieces.map((one) => [one.key, one.from, one.to, one.line])).toEqual([
      ['carried', 0, elapsed(11.5 * minute), 0],
      ['over', elapsed(10 * minute), elapsed(8.5 * minute), 0],
      ['runs', elapsed(9 * minute), 7 * minute, 1],
      ['then', elapsed(8 * minute), elapsed(6.5 * minute), 0],
      ['g', elapsed(7.5 * minute), elapsed(7.5 * minute) + 30_000, 2],
      ['free', elapsed(7 * minute), 7 * minute, 2],
    ])
    expect(pieces.find((one) => one.key === 'runs')?.number).toBe('4')
    expect(pastOf(state, 'visitors', span, 7 * minute, 1, 1)).toEqual([])
  })
})
