import { describe, expect, it } from 'vitest'
import type { Line } from '../../base/contract/contract'
import { benchAs as bench, line, minute, momentAt, stateAt } from '../../game/fixture'
import { doubt, driftText, lastKnown } from './reading'

const at = (kind: 'board_read' | 'clock_started', left: number): Line =>
  line({ entry: kind, kind, moment: momentAt(2, left), body: { elapsed_ms: 12 * minute - left } } as Parameters<typeof line>[0])
const begun = line({ entry: 'begun', kind: 'stage_begun', body: { stage: { kind: 'period', number: 2 }, length_ms: 12 * minute } } as Parameters<typeof line>[0])

describe('a reading of the board', () => {
  const follow = stateAt(5 * minute, { bench: bench('follow'), lines: [begun, at('board_read', 5 * minute)] })
  it('is looked at again when it goes back in time', () => {
    expect(doubt(follow, 5 * minute + 1000)).not.toBe('')
    expect(doubt(follow, 5 * minute)).toBe('')
    expect(doubt(follow, 4 * minute)).toBe('')
  })
  it('of the last period says nothing about this one', () => {
    const next = stateAt(12 * minute, { bench: bench('follow'), lines: [at('board_read', 5 * minute), begun] })
    expect(lastKnown(next)).toBe(0)
    expect(doubt(next, 11 * minute)).toBe('')
  })
  it('beside ours may be put right at the same whistle, not before the last face-off', () => {
    const lines = [begun, at('clock_started', 6 * minute), at('board_read', 5 * minute)]
    expect(doubt(stateAt(5 * minute, { bench: bench('beside'), lines }), 5 * minute + 9000)).toBe('')
    expect(doubt(stateAt(5 * minute, { bench: bench('beside'), lines: lines.slice(0, 2) }), 6 * minute + 1000)).not.toBe('')
  })
})

it('says the drift in whole seconds, and nothing before the first reading', () => {
  expect(driftText(undefined)).toBe('')
  expect(driftText(3100)).toContain('3')
  expect(driftText(-2000)).toContain('2')
  expect(driftText(3100)).not.toBe(driftText(-3100))
  expect(driftText(300)).toBe(driftText(-300))
})
