import { describe, expect, it } from 'vitest'
import type { Goal, State } from '../../base/contract/contract'
import { leavingAt, line, minute, momentAt, stateAt } from '../../game/fixture'
import { playNow } from '../../game/lanes/play'
import { MomentWatch } from './moments'

const goal = (entry: string, side: 'home' | 'visitors' = 'home') => ({ entry, side, scorer: '12', assists: [], moment: momentAt(2, 6 * minute) }) as unknown as Goal
const entered = (entry: string, wall_ms = 1000) => line({ entry, kind: 'goal', body: {} as never, wall_ms })
const withGoals = (...ids: string[]) => stateAt(6 * minute, { goals: ids.map((id) => goal(id)), lines: ids.map((id) => entered(id)) })
const look = (watch: MomentWatch, state: State, time = 2000) => watch.look(state, playNow(state, state.clock.elapsed_ms), time)

describe('the moments of the Wall', () => {
  it('are a goal that is entered while somebody watches, once', () => {
    const watch = new MomentWatch()
    expect(look(watch, withGoals())).toEqual({})
    expect(look(watch, withGoals('a'))).toEqual({ home: 'goal' })
    expect(look(watch, withGoals('a'))).toEqual({})
    expect(look(watch, withGoals('a', 'b'))).toEqual({ home: 'goal' })
  })
  it('are not what stood when the page was opened', () => {
    expect(look(new MomentWatch(), withGoals('a'))).toEqual({})
    const state = stateAt(5 * minute, { due: [leavingAt(5 * minute)] })
    expect(look(new MomentWatch(), state)).toEqual({})
  })
  it('are not a goal that is struck and put back, or one of long ago', () => {
    const watch = new MomentWatch()
    look(watch, withGoals('a'))
    expect(look(watch, withGoals())).toEqual({})
    expect(look(watch, withGoals('a'))).toEqual({})
    const late = stateAt(6 * minute, { goals: [goal('a'), goal('b')], lines: [entered('a'), entered('b')] })
    expect(look(watch, late, 1000 + 46_000)).toEqual({})
    expect(look(watch, late)).toEqual({})
  })
  it('are somebody who may come out, when the clock comes to it', () => {
    const watch = new MomentWatch()
    const due = [leavingAt(5 * minute)]
    expect(look(watch, stateAt(5 * minute + 1, { due }))).toEqual({})
    expect(look(watch, stateAt(5 * minute, { due }))).toEqual({ home: 'release' })
    expect(look(watch, stateAt(5 * minute - 1, { due }))).toEqual({})
  })
  it('are a goal for one side and the release of the other in one', () => {
    const watch = new MomentWatch()
    look(watch, withGoals())
    const both = { ...withGoals('a'), due: [leavingAt(6 * minute, { side: 'visitors' })] }
    expect(look(watch, both)).toEqual({ home: 'goal', visitors: 'release' })
  })
})
