import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { line, minute, momentAt, stateAt } from '../game/fixture'
import { inOrder, moveTo, type Place } from './order'
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
