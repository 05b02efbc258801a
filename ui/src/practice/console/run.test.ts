import { describe, expect, it } from 'vitest'
import type { ConsoleBoard } from '../../base/contract/contract'
import { between } from './run'

const board = (clock_ms: number, ...left: [string, number, boolean?][]): ConsoleBoard => ({
  on: true, score: [0, 0], period: 1, clock_ms, sides: [left.map(([number, left_ms, held = false]) => ({ number, left_ms, held })), []], lamps: ['moon'],
})

describe('the board between two whistles', () => {
  it('counts down clock and lines, and takes lines off that ran out', () => {
    const was = board(600_000, ['07', 90_000], ['12', 20_000])
    const now = board(560_000, ['07', 50_000])
    expect(between(was, now, 0)).toEqual(was)
    expect(between(was, now, 0.25)).toEqual(board(590_000, ['07', 80_000], ['12', 10_000]))
    expect(between(was, now, 0.75)).toEqual(board(570_000, ['07', 60_000]))
    expect(between(was, now, 1)).toEqual(now)
  })
  it('lets lines stand that are held while an intermission runs', () => {
    const was = board(60_000, ['07', 40_000, true])
    const now = board(0, ['07', 40_000, true])
    expect(between(was, now, 0.5)).toEqual(board(30_000, ['07', 40_000, true]))
  })
})
