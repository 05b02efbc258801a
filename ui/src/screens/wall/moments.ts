import type { Side, State } from '../../base/contract/contract'
import { dueNow } from '../../game/due'
import type { Now } from '../../game/lanes/play'
import { freshGoal } from './goal'

/** What the Wall marks for a moment in the lane of a side. */
export type Moment = 'goal' | 'release'

/** How long it marks it, in milliseconds. */
export const momentFor = 2400

/**
 * MomentWatch tells once of a goal that counts and of somebody who may come out, while somebody
 * watches. What stood when the page was opened is nothing new, nor is what is put right later.
 */
export class MomentWatch {
  #known: Set<string> | null = null

  /** What is new since the last look, by side. `time` is the bench's time of day. */
  look(state: State, now: Now, time: number): Partial<Record<Side, Moment>> {
    const before = this.#known
    const known = before ?? new Set<string>()
    this.#known = known
    const found: Partial<Record<Side, Moment>> = {}
    const note = (key: string, side: Side, what: Moment) => {
      if (known.has(key)) return
      known.add(key)
      if (before) found[side] = what
    }
    for (const one of dueNow(state, now)) if (one.phase === 'now') note(`out/${one.term}/${one.door}`, one.side, 'release')
    const news = freshGoal(state, time)?.entry
    // A goal that comes with an old copy is noted and not marked.
    for (const { entry, side } of state.goals) {
      if (entry === news) note(entry, side, 'goal')
      else known.add(entry)
    }
    return found
  }
}
