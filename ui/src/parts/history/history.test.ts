import { describe, expect, it } from 'vitest'
import type { Entry } from '../../base/contract/contract'
import { line, stateAt } from '../../game/fixture'
import { draft } from '../../base/transport/draft'
import { kindOf } from './ledger'
import { ordersOf, versionsOf } from './versions'
import { momentWords, versionWords } from './words'

const game = '01JD0000000000000000000000'
const at = { period: 2, elapsed_ms: 407_000 }
const goal = (scorer: string) => ({ side: 'home' as const, scorer })
/** Their lines, with what was struck. */
const lines = (list: Entry[], ...struck: string[]) => list.map((entry) => line({
  entry: entry.id, kind: kindOf(entry), of: entry.of, struck: struck.includes(entry.id), body: {}, ...(entry.id === 'D' || entry.id === 'F' ? { root: 'A' } : {}),
} as Parameters<typeof line>[0]))
const numbered = (list: Entry[]) => list.map((entry, i) => ({ ...entry, seq: i + 1 }))
const posted = draft({ game, kind: 'goal', body: goal('12'), wall: 1000, at, id: 'A' })
const amended = draft({ game, kind: 'amended', body: { kind: 'goal', body: goal('17') }, of: 'A', wall: 2000, at: { ...at, order: 3 }, id: 'B' })
const struck = draft({ game, kind: 'struck', body: { reason: 'no goal' }, of: 'A', wall: 3000, id: 'C' })
const back = draft({ game, kind: 'struck', body: {}, of: 'C', wall: 4000, id: 'D' })
const other = draft({ game, kind: 'goal', body: goal('9'), wall: 4500, at, id: 'E' })
const undone = draft({ game, kind: 'struck', body: {}, of: 'B', wall: 5000, id: 'F' })

describe('the history of an entry', () => {
  it('lists what was done to it, newest first, and what counts no more', () => {
    const ledger = numbered([posted, amended, struck, back, other, undone])
    const all = versionsOf(ledger, lines(ledger, 'B', 'C'), 'A')
    expect(all.map((one) => [one.deed, one.gone])).toEqual([
      ['back', false], ['back', false], ['struck', true], ['amended', true], ['posted', false],
    ])
    expect(all[2]).toMatchObject({ wall: 3000, reason: 'no goal', says: { kind: 'goal', body: goal('12') } })
    expect(all[0]?.says).toEqual({ kind: 'goal', body: goal('17') })
  })
  it('knows the order at a whistle by the newest amendment that counts', () => {
    expect(ordersOf([posted, amended], lines([posted, amended]))).toMatchObject({ A: 3 })
    expect(ordersOf([posted, amended, undone], lines([posted, amended, undone], 'B'))).toMatchObject({ A: 0 })
  })
  it('is told in words', () => {
    const state = stateAt(0)
    expect(versionWords({ kind: 'goal', body: { ...goal('12'), assists: ['17', ''] } }, state)).toBe('Goal, Kelp Bay 12, from 17, ?')
    expect(versionWords({ kind: 'penalty', body: { side: 'visitors', player: '4', call: 'hooking', parts: ['minor', 'minor', 'misconduct'] } }, state))
      .toBe('Lanternside 4, Hooking, Double minor + Misconduct')
    expect(momentWords(at, state)).toBe('5:13 of the 2nd')
    expect(momentWords({ period: 0, elapsed_ms: 0 }, state)).toBe('')
  })
})
