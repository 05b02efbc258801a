import { repeatsOf } from './repeats'
import { leftText } from '../../base/words/format'
import type { Entry, NextStage, State } from '../../base/contract/contract'
import type { LiveGame } from '../../game/live.svelte'
import { unusualStep } from '../../game/unusual'
import { say, t } from '../../base/words/words'

const hinted = 4000 // milliseconds for which it is said why the space bar did nothing

/** Asking is what waits for a second tap, because the first may have been a slip. */
export class Asking {
  /** A step out of its order. */
  unusual = $state.raw<{ next: NextStage; says: string[] } | null>(null)
  /** What is built beside what the book has already, in sentences; posting waits. */
  repeats = $state.raw<string[]>([])
  /** The space bar was pressed while a call was typed. */
  tooSoon = $state(false)
  #soon: ReturnType<typeof setTimeout> | undefined

  get open(): boolean {
    return this.unusual !== null || this.repeats.length > 0
  }

  close(): void {
    this.unusual = null
    this.repeats = []
  }

  /** Asks about a step that is out of its order. False where it is not. */
  step({ state, reading, clock }: LiveGame, next: NextStage): boolean {
    const says = state ? unusualStep(state, next.stage, { left: reading.left, length: clock.length_ms }) : []
    this.unusual = says.length > 0 ? { next, says } : null
    return this.unusual !== null
  }

  /** Asks about drafts that the book seems to have already. `then` is the state with them, where it is known. */
  again({ state, now, time }: LiveGame, drafts: Entry[], then: State | null): boolean {
    if (!state) return false
    const abs = ({ data: { at } }: Entry) => {
      const span = state.periods.find((one) => one.period === at.period)
      return span ? span.abs_ms + at.elapsed_ms : now.abs
    }
    const fresh = (i: number) => then?.lines.filter((line) => !state.lines.some((one) => one.entry === line.entry))[i]
    this.repeats = repeatsOf(state, drafts, abs, time.now()).flatMap(({ line, draft: i }) => {
      const mine = fresh(i)
      return [
        t('repeat.there', { line: say(line.say), time: leftText(line.moment.left_ms) }),
        ...(mine ? [t('repeat.yours', { line: say(mine.say), time: leftText(mine.moment.left_ms) })] : []),
      ]
    })
    return this.repeats.length > 0
  }

  /** The space bar did nothing: it comes too soon after a key of a call. */
  sayTooSoon(): void {
    this.tooSoon = true
    clearTimeout(this.#soon)
    this.#soon = setTimeout(() => (this.tooSoon = false), hinted)
  }
}
