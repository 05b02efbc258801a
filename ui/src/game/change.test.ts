import { describe, expect, it } from 'vitest'
import type { Line, State } from '../base/contract/contract'
import { stateAt } from './fixture'
import { after, type Change, follows } from '../base/transport/change'

const none = { set: {}, gone: [], lists: {} }

describe('a change', () => {
  it('goes onto every version from the one that it was asked for up to its own, and onto no other', () => {
    const change: Change = { from: 3, seq: 5, ...none }
    const at = (seq: number): State => ({ ...stateAt(0), seq })
    expect([2, 3, 4, 5, 6].map((seq) => follows(change, at(seq)))).toEqual([false, true, true, true, false])
    expect(follows(change, null)).toBe(false)
  })

  it('puts in what is new, takes out what is gone, and leaves the state before alone', () => {
    const before: State = { ...stateAt(0), seq: 3, time_out: { wall_ms: 1, length_ms: 2 } }
    const kept = JSON.stringify(before)
    const line = (seq: number) => ({ entry: `e${String(seq)}`, seq }) as Line
    const change: Change = {
      from: 3, seq: 5, set: { seq: 5, clock: { ...before.clock, elapsed_ms: 7 }, 'book.sealed': true }, gone: ['time_out'],
      lists: { lines: { length: 2, at: { 0: line(4), 1: line(5) } }, 'book.said': { length: 1, at: { 0: 'goal/1' } }, goals: { length: 0, at: {} } },
    }
    const next = after(before, change)
    expect(JSON.stringify(before)).toBe(kept)
    expect(next.seq).toBe(5)
    expect(next.clock.elapsed_ms).toBe(7)
    expect('time_out' in next).toBe(false)
    expect(next.lines.map((one) => one.seq)).toEqual([4, 5])
    expect(next.goals).toEqual([])
    expect(next.book.sealed).toBe(true)
    expect(next.book.said).toEqual(['goal/1'])
    expect(next.book.crew).toBe(before.book.crew)
    expect(next.teams).toBe(before.teams)
  })

  it('changes elements in the middle of a list and keeps the others', () => {
    const lines = [1, 2, 3].map((seq) => ({ entry: `e${String(seq)}`, seq, struck: false }) as Line)
    const before: State = { ...stateAt(0), seq: 3, lines }
    const struck = { ...lines[1], struck: true } as Line
    const next = after(before, { from: 3, seq: 4, ...none, lists: { lines: { length: 4, at: { 1: struck, 3: { entry: 'e4', seq: 4 } } } } })
    expect(next.lines[0]).toBe(lines[0])
    expect(next.lines[1]).toEqual(struck)
    expect(next.lines[2]).toBe(lines[2])
    expect(next.lines[3]?.seq).toBe(4)
    expect(before.lines).toHaveLength(3)
  })
})
