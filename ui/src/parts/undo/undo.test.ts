import { describe, expect, it } from 'vitest'
import type { Kind, Line } from '../../base/contract/contract'
import { line, stateAt } from '../../game/fixture'
import { rootOf, undoable } from './undo'

/** Lines in the order posted, named by letters; "goal", "struck of a". */
function game(...acts: [kind: Kind, of?: string, more?: Partial<Line>][]) {
  const lines = acts.map(([kind, of, more], i) =>
    line({ entry: 'abcdefgh'[i] ?? '', seq: i + 1, kind, of, body: {}, ...more } as Parameters<typeof line>[0]))
  const byName = new Map(lines.map((one) => [one.entry, one]))
  for (const one of lines) {
    const target = byName.get(one.of ?? '')
    if (target?.of !== undefined) one.root = target.root ?? target.of
  }
  for (const one of [...lines].reverse()) {
    const target = lines.find((other) => other.entry === one.of)
    if (one.kind === 'struck' && !one.struck && target) target.struck = true
  }
  return stateAt(0, { lines })
}
const names = (state: ReturnType<typeof game>, wall = 0) => {
  const { undo, redo } = undoable(state, wall)
  return [undo?.entry ?? null, redo?.entry ?? null]
}

describe('the button that takes back', () => {
  it('has nothing to do in a new game', () => {
    expect(names(game(['game_opened']))).toEqual([null, null])
  })
  it('takes back whatever was done last, and does it again', () => {
    expect(names(game(['stage_begun'], ['clock_set']))).toEqual(['b', null])
    expect(names(game(['stage_begun'], ['clock_set'], ['struck', 'b']))).toEqual(['a', 'c'])
    expect(names(game(['stage_begun'], ['clock_set'], ['struck', 'b'], ['struck', 'c']))).toEqual(['b', null])
    expect(names(game(['goal'], ['struck', 'a'], ['goal']))).toEqual(['c', null])
  })
  it('takes back again what was just done again, however old it is', () => {
    expect(names(game(['goal'], ['penalty'], ['struck', 'a'], ['struck', 'c']))).toEqual(['a', null])
    expect(names(game(['goal'], ['penalty'], ['struck', 'a'], ['struck', 'c'], ['struck', 'a']))).toEqual(['b', 'e'])
    expect(names(game(['goal'], ['amended', 'a'], ['penalty'], ['struck', 'b'], ['struck', 'd']))).toEqual(['b', null])
    expect(names(game(['goal'], ['penalty'], ['struck', 'a'], ['struck', 'c'], ['goal']))).toEqual(['e', null])
  })
  it('does again as much as was taken back, the last first', () => {
    const acts: Parameters<typeof game> = [['goal'], ['penalty'], ['note'], ['struck', 'c'], ['struck', 'b']]
    expect(names(game(...acts))).toEqual(['a', 'e'])
    expect(names(game(...acts, ['struck', 'e']))).toEqual(['b', 'd'])
    expect(names(game(...acts, ['struck', 'e'], ['struck', 'd']))).toEqual(['c', null])
    expect(names(game(...acts, ['struck', 'e'], ['goal']))).toEqual(['g', null])
  })
  it('passes over ticks, and takes back a change without the entry', () => {
    expect(names(game(['goal'], ['amended', 'a'], ['ticked']))).toEqual(['b', null])
    expect(names(game(['goal'], ['amended', 'a'], ['struck', 'b']))).toEqual(['a', 'c'])
  })
  it('leaves shots and announcements to where they are tapped', () => {
    expect(names(game(['goal'], ['shots'], ['announced'], ['struck', 'b']))).toEqual(['a', null])
    expect(names(game(['goal'], ['clock_stopped', undefined, { wall_ms: 1000 }], ['shots']), 2000)).toEqual(['b', null])
  })
  it('takes back a press on the clock only while it is the newest act and fresh', () => {
    const pressed = game(['goal'], ['clock_stopped', undefined, { wall_ms: 1000 }])
    expect(names(pressed, 2000)).toEqual(['b', null])
    expect(names(pressed, 100_000)).toEqual(['a', null])
    expect(names(game(['stage_begun'], ['clock_stopped'], ['goal'], ['struck', 'c']), 0)).toEqual(['b', 'd'])
    expect(names(game(['clock_stopped'], ['clock_started'], ['struck', 'b']))).toEqual(['a', 'c'])
  })
  it('offers a seat only what it may take back', () => {
    const state = game(['goal'], ['stage_begun'], ['clock_set'], ['struck', 'c'], ['seated'])
    const offered = (seat: 'solo' | 'book' | 'box' | 'clock') => [undoable(state, 0, seat).undo?.entry, undoable(state, 0, seat).redo?.entry]
    expect(offered('solo')).toEqual(['e', undefined])
    expect(offered('book')).toEqual(['a', undefined])
    expect(offered('box')).toEqual(['e', undefined])
    expect(offered('clock')).toEqual(['b', 'd'])
  })
  it('leaves the end of a period alone', () => {
    expect(names(game(['goal'], ['clock_stopped', undefined, { say: { key: 'line.clock_ran_out' } }]))).toEqual(['a', null])
  })
  it('names the entry in the end', () => {
    const state = game(['goal'], ['amended', 'a'], ['struck', 'b'])
    expect(state.lines.map((one) => rootOf(state, one).entry)).toEqual(['a', 'a', 'a'])
  })
})
