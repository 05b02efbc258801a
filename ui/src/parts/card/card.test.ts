import { describe, expect, it, vi } from 'vitest'
import { leftText } from '../../base/words/format'
import { line, stateAt } from '../../game/fixture'
import { liveReading } from './live'
import { boardCheck, cardAsks, nextStep, readingWords } from './steps'
import { Ticks } from './ticks.svelte'
import type { Entry, RinkCardStep, RinkCardView } from '../../base/contract/contract'

const step = (id: string, ticked = false): RinkCardStep => ({ id, task: 'goal', when: 'goal', text: `Do ${id}.`, ticked })
const names: [string, string] = ['Kelp Bay', 'Lanternside']
const run = (left: number, abs: number) => ({ number: '07', left_ms: left, left: leftText(left), end_abs_ms: abs, entry: 'x' })
const type = { penalty_lines: 2, shows_numbers: true, number_digits: 2, counts_in_intermission: true, counts_down: true, most_minutes: 9 }
const view = (given: Partial<RinkCardView> = {}): RinkCardView => ({
  id: 'saltworks', rink: 'Saltworks Arena', steps: [step('a', true), step('b'), step('c')], waiting: 2, holds: true, look: false, aside: false,
  board: {
    score: [2, 1], period: 2, abs_ms: 100_000, clock_ms: 300_000, clock: '5:00', hold_penalties: false,
    sides: [
      { lines: [run(60_000, 160_000), run(5000, 105_000)], beside: [{ ...run(90_000, 250_000), why: 'waits' }, { ...run(540_000, 640_000), why: 'too_long' }] },
      { lines: [], beside: [] },
    ],
  },
  type,
  ...given,
})

describe('the board check', () => {
  it('goes on with the clock: lines run, waiting ones stand, those that are over go', () => {
    const board = liveReading(view(), { abs: 110_500, elapsed: 430_500, left: 289_500 })
    expect(board.clock).toBe('4:50')
    expect(board.sides[0].lines.map((one) => one.left)).toEqual(['0:50'])
    expect(board.sides[0].beside.map((one) => one.left_ms)).toEqual([90_000, 529_500])
  })
  it('counts as the board counts, and shows no clock where there is none', () => {
    const up = view({ type: { ...type, counts_down: false } })
    expect(liveReading(up, { abs: 100_000, elapsed: 125_900, left: 0 }).clock).toBe('2:05')
    const none = view({ board: { ...view().board, clock: '' } })
    expect(liveReading(none, { abs: 100_000, elapsed: 0, left: 0 }).clock).toBe('')
  })
})

describe('the steps', () => {
  it('hold the puck drop one after another, where the card says so', () => {
    const [hold] = cardAsks(view(), view().steps, names)
    expect(hold).toMatchObject({ weight: 'hold', away: true, all: true })
    expect(hold?.yes).toMatchObject({ settle: { step: 'b' }, settle_kind: 'ticked' })
    expect(hold?.text).toContain('Do b.')
    expect(cardAsks(view({ holds: false }), view().steps, names)[0]?.weight).toBe('look')
    expect(cardAsks(view(), [step('a', true), step('b')], names)[0]?.all).toBe(false)
    expect(cardAsks(view(), [step('a', true)], names)).toEqual([])
    expect(cardAsks(view({ aside: true }), view().steps, names)).toEqual([])
    expect(cardAsks(null, [], names)).toEqual([])
  })
  it('ask for a look at the board when none is left and the clock was off', () => {
    const [look] = cardAsks(view({ look: true }), [], names)
    expect(look).toMatchObject({ weight: 'look', local: 'agrees', away: true })
    expect(look?.text).toContain('5:00 · 2–1 · Kelp Bay 07 1:00, 07 0:05')
    expect(cardAsks(view({ look: true, aside: true }), [], names)).toEqual([])
    const bare = view({ board: { ...view().board, clock: '', no_score: true }, type: { ...type, shows_numbers: false } })
    expect(readingWords(bare, names)).toBe('Kelp Bay 1:00, 0:05')
  })
  it('are done at once, and left again when the bench refuses', async () => {
    const posted: Entry[][] = []
    const state = stateAt(0, { lines: [line({ entry: 'T', kind: 'ticked', body: { step: 'a' } }), line({ entry: 'U', kind: 'ticked', body: { step: 'b' } })] })
    let refuse: (reason: Error) => void = () => undefined
    const failed = vi.fn()
    const ticks = new Ticks({
      id: '01JD0000000000000000000000', card: view(), state, time: { now: () => 1000 },
      post: (entries) => {
        posted.push(entries)
        return new Promise((_, reject) => (refuse = reject))
      },
    }, failed)
    ticks.tick()
    expect([nextStep(ticks.steps)?.id, ticks.waiting]).toEqual(['c', 1])
    expect(posted[0]?.map((one) => one.data.body)).toEqual([{ step: 'b' }])
    refuse(new Error('no'))
    await new Promise((resolve) => setTimeout(resolve))
    expect(failed).toHaveBeenCalled()
    expect(ticks.waiting).toBe(2)
    ticks.agrees()
    expect(posted[1]?.map((one) => one.data.body)).toEqual([{ step: 'b' }, { step: 'c' }, { step: boardCheck }])
    ticks.untick(step('a', true))
    expect(posted[2]?.map((one) => one.of)).toEqual(['T'])
    ticks.agrees()
    expect(posted[3]?.map((one) => one.data.body)).toEqual([{ step: boardCheck }])
  })
})
