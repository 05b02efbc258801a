import { describe, expect, it } from 'vitest'
import type { Kind, Line } from '../../base/contract/contract'
import { foldsOf, sifted } from './folds'

const line = (entry: string, kind: Kind, side?: string) => ({ entry, kind, body: side ? { side } : {} }) as unknown as Line
// Newest first.
const lines = [line('8', 'clock_stopped'), line('7', 'clock_started'), line('6', 'struck'), line('5', 'goal', 'home'), line('4', 'clock_stopped'), line('3', 'penalty', 'visitors'), line('2', 'clock_started'), line('1', 'stage_begun')]

describe('a ledger', () => {
  it('folds runs of quiet lines, keeps what can be acted on apart, and one quiet line as it is', () => {
    const folds = foldsOf(lines, '8')
    expect(folds.map((fold) => [fold.key, fold.lines.length, fold.folded])).toEqual([
      ['8', 1, false], ['6', 2, true], ['5', 1, false], ['4', 1, false], ['3', 1, false], ['1', 2, true],
    ])
    expect(folds.flatMap((fold) => fold.lines)).toEqual(lines)
  })
  it('keeps the key of a fold while lines are added to it', () => {
    const [before] = foldsOf(lines)
    const [after] = foldsOf([line('9', 'clock_started'), ...lines])
    expect([before?.key, after?.key, after?.lines.length]).toEqual(['6', '6', 4])
  })
  it('is looked through by side and by kind', () => {
    const found = (side: '' | 'home' | 'visitors', kind: '' | Kind) => sifted(lines, { side, kind }).map((one) => one.entry)
    expect(found('', '')).toHaveLength(8)
    expect(found('home', '')).toEqual(['5'])
    expect(found('', 'penalty')).toEqual(['3'])
    expect(found('home', 'penalty')).toEqual([])
  })
})
