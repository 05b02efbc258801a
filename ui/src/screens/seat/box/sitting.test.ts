import { describe, expect, it } from 'vitest'
import { line, minute, momentAt, stateAt, term } from '../../../game/fixture'
import { playNow } from '../../../game/lanes/play'
import { afterGoal, beforePeriod, sittersOf } from './sitting'

// The second period of the fixture, twelve minutes long, with `left` on the clock.
const at = (left: number) => momentAt(2, left)
const minor = term({ id: 'a/0', entry: 'a', start: at(6 * minute), end: at(4.5 * minute) })
const release = {
  moment: at(4.5 * minute), side: 'home' as const, term: 'a/0', sits: '17', door: 'at_end' as const, why: { key: 'why.time' },
}
const seated = (seq: number, inside: boolean, left: number, player = '17') =>
  line({ entry: `s${seq}`, seq, kind: 'seated', body: { side: 'home', player, in: inside }, moment: at(left) })
const call = line({ entry: 'a', seq: 5, kind: 'penalty', body: { side: 'home', player: '17', parts: ['minor'] }, moment: at(6 * minute) })
const begun = line({ entry: 'p2', seq: 4, kind: 'stage_begun', body: { stage: { kind: 'period', number: 2 }, length_ms: 12 * minute }, moment: at(12 * minute) })

function sitters(left: number, given: Parameters<typeof stateAt>[1] = {}) {
  const state = stateAt(left, { terms: [minor], releases: [release], lines: [begun, call], ...given })
  return sittersOf(state, 'home', playNow(state, state.clock.elapsed_ms))
}

describe('who is in the box', () => {
  it('sits until the penalty is over, and the gate is made ready in the last ten seconds', () => {
    expect(sitters(5 * minute)).toMatchObject([{ number: '17', standing: 'sits', left: 30_000, open: false, seen: false }])
    expect(sitters(4.5 * minute + 10_000)).toMatchObject([{ standing: 'soon', left: 10_000 }])
  })
  it('may leave when it is over, until it was seen leaving', () => {
    expect(sitters(4.5 * minute)).toMatchObject([{ number: '17', standing: 'go' }])
    expect(sitters(4.5 * minute - 30_001)).toEqual([])
    expect(sitters(4.5 * minute, { lines: [begun, call, seated(6, false, 4.5 * minute)] })).toEqual([])
  })
  it('is seen when the gate was looked at after the call', () => {
    expect(sitters(5 * minute, { lines: [begun, call, seated(6, true, 6 * minute)] })[0]?.seen).toBe(true)
    // A look before the call was about another penalty.
    expect(sitters(5 * minute, { lines: [begun, seated(4, true, 11 * minute), call] })[0]?.seen).toBe(false)
  })
  it('has left too early when somebody saw it leave before the time', () => {
    expect(sitters(5 * minute, { lines: [begun, call, seated(6, false, 5 * minute)] })).toMatchObject([{ standing: 'left', left: 30_000 }])
    // Back in: sits on.
    expect(sitters(5 * minute, { lines: [begun, call, seated(6, false, 5 * minute), seated(7, true, 5 * minute)] })).toMatchObject([{ standing: 'sits' }])
  })
  it('waits for a whistle where the clock alone opens no gate', () => {
    const matched = { ...minor, matched: true, costs: false, door: 'next_whistle' as const, out: undefined }
    expect(sitters(5 * minute, { terms: [matched], releases: [] })).toMatchObject([{ standing: 'sits', open: true, kind: 'matched' }])
    expect(sitters(4 * minute, { terms: [matched], releases: [] })).toMatchObject([{ standing: 'whistle', left: 0 }])
    // The third of a side waits for a teammate's penalty to end.
    const third = term({ id: 'b/0', entry: 'b', sits: '9', player: '9', waits: true, start: at(4.5 * minute), end: at(3 * minute) })
    expect(sitters(5 * minute, { terms: [minor, third] })).toMatchObject([{ number: '17' }, { number: '9', standing: 'waits', left: 2 * minute }])
  })
  it('counts both who sit for one call: the server, and the player with the misconduct', () => {
    const server = { ...minor, sits: '12' }
    const misconduct = term({ id: 'a/1', entry: 'a', row: 'a/0', part: 'misconduct', costs: false, door: 'next_whistle', start: at(4.5 * minute), end: momentAt(3, 6.5 * minute) })
    expect(sitters(5 * minute, { terms: [server, misconduct] })).toMatchObject([
      { number: '12', offender: '17', left: 30_000 }, { number: '17', open: true },
    ])
  })
})

describe('after a break', () => {
  const intermission = line({ entry: 'i', seq: 7, kind: 'stage_begun', body: { stage: { kind: 'intermission', number: 2 }, length_ms: minute }, moment: at(0) })
  const third = line({ entry: 'p3', seq: 9, kind: 'stage_begun', body: { stage: { kind: 'period', number: 3 }, length_ms: 12 * minute }, moment: momentAt(3, 12 * minute) })
  const carried = { ...minor, end: momentAt(3, 11 * minute), out: momentAt(3, 11 * minute) }
  it('everybody is looked for again, and may be found in the break', () => {
    const stage = { kind: 'intermission' as const, number: 2 }
    const lines = [begun, call, seated(6, true, 6 * minute), intermission]
    const now = { stage, terms: [carried], releases: [], lines }
    expect(sitters(0, now)[0]?.seen).toBe(false)
    const back = seated(8, true, 0)
    expect(sitters(0, { ...now, lines: [...lines, back] })[0]?.seen).toBe(true)
    expect(sitters(12 * minute, { stage: { kind: 'period', number: 3 }, terms: [carried], releases: [], lines: [...lines, back, third] })[0]?.seen).toBe(true)
  })
  it('is a break until the clock of the period was started', () => {
    const fresh = stateAt(12 * minute, { stage: { kind: 'period', number: 2 } })
    expect(beforePeriod(fresh, playNow(fresh, 0))).toBe(true)
    const first = stateAt(12 * minute, { stage: { kind: 'period', number: 1 } })
    expect(beforePeriod(first, playNow(first, 0))).toBe(false)
    const played = stateAt(5 * minute)
    expect(beforePeriod(played, playNow(played, played.clock.elapsed_ms))).toBe(false)
  })
})

describe('after a goal', () => {
  const goal = {
    entry: 'g', moment: at(5 * minute), side: 'visitors' as const, scorer: '4', assists: [], class: 'power_play' as const,
    empty_net: false, own_goal: false, skaters: [4, 5] as [number, number], score: [1, 3] as [number, number], reasons: [],
  }
  it('says who comes out, or that nobody does', () => {
    const freed = { ...release, moment: at(5 * minute), why: { key: 'why.goal' } }
    const state = stateAt(5 * minute, { goals: [goal], releases: [freed] })
    const now = playNow(state, state.clock.elapsed_ms)
    expect(afterGoal(state, now, false)?.out).toEqual([freed])
    expect(afterGoal({ ...state, releases: [release] }, now, false)?.out).toEqual([])
    expect(afterGoal(state, now, true)).toBeNull()
    expect(afterGoal({ ...state, goals: [] }, now, false)).toBeNull()
  })
})
