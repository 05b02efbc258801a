import { describe, expect, it } from 'vitest'
import type { Line, Release } from '../../base/contract/contract'
import { line, momentAt } from '../../game/fixture'
import { newestOfKinds, newestPress, strikable } from './strikable'

const press = (entry: string, kind: 'clock_started' | 'clock_stopped', seq: number, given: Partial<Line> = {}) =>
  line({ entry, kind, seq, body: { elapsed_ms: seq * 1000 }, ...given } as Parameters<typeof line>[0])

describe('the clock in the ledger', () => {
  const lines = [press('a', 'clock_started', 1), press('b', 'clock_stopped', 2), press('c', 'clock_started', 3), press('d', 'clock_stopped', 4)]
  it('is put right at the clock for the newest start or stop', () => {
    expect(newestPress(lines)?.entry).toBe('d')
    expect(newestPress([...lines, line({ entry: 'e', kind: 'clock_set', seq: 5, body: { elapsed_ms: 1 } })])).toBeNull()
    expect(newestPress([...lines.slice(0, 3), press('d', 'clock_stopped', 4, { struck: true })])?.entry).toBe('c')
    expect(newestPress([press('x', 'clock_stopped', 1, { say: { key: 'line.clock_ran_out' } })])).toBeNull()
  })
  it('has an older stop struck at which somebody was let out, because a later entry says where it stands', () => {
    const releases: Release[] = [{ moment: momentAt(1, 0), side: 'home', term: 'x', sits: '7', door: 'at_whistle', why: { key: 'why.whistle' } }]
    expect(lines.map((one) => strikable(one, { lines, releases }))).toEqual([false, true, false, false])
    expect(lines.map((one) => strikable(one, { lines, releases: [] }))).toEqual([false, false, false, false])
    expect(strikable(lines[1] as Line, { lines: lines.slice(0, 2), releases })).toBe(false)
    const over = press('b', 'clock_stopped', 2, { say: { key: 'line.clock_ran_out' } })
    expect(strikable(over, { lines: [over, ...lines.slice(2)], releases })).toBe(false)
  })
  it('leaves the opening and ticks alone, and what people decided can be struck', () => {
    expect(strikable(line({ entry: 'g', kind: 'goal', body: { side: 'home' } }), { lines, releases: [] })).toBe(true)
    expect(strikable(line({ entry: 't', kind: 'ticked', body: { step: 'x' } }), { lines, releases: [] })).toBe(false)
  })
})

describe('the lines that can be acted on at once', () => {
  it('are the newest of each kind, and no start or stop', () => {
    const of = (entry: string, kind: 'goal' | 'penalty' | 'time_out') => line({ entry, kind } as Parameters<typeof line>[0])
    expect(newestOfKinds([of('a', 'goal'), of('b', 'penalty'), press('c', 'clock_started', 3), of('d', 'goal'), press('e', 'clock_stopped', 5)]))
      .toEqual(['d', 'b'])
  })
})
