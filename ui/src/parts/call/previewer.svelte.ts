import type { Entry, Preview } from '../../base/contract/contract'
import { Refused, Unreachable } from '../../base/transport/api'

type Ask = (entries: Entry[], signal: AbortSignal) => Promise<Preview>

const calm = 90 // milliseconds without a change before the bench is asked

/**
 * Previewer asks the bench what a tentative call would do, a little after the
 * last change, and forgets answers that come too late.
 */
export class Previewer {
  answer = $state.raw<Preview | null>(null)
  asking = $state(false)
  /** What went wrong when there is no answer: lost, or the bench's own words. */
  trouble = $state('')
  #timer: ReturnType<typeof setTimeout> | undefined
  #abort: AbortController | undefined
  #key = ''

  constructor(private readonly ask: Ask) {}

  /** Considers these entries from now on. `key` tells whether they are new ones. */
  consider(entries: Entry[], key: string): void {
    if (key === this.#key) return
    this.#key = key
    clearTimeout(this.#timer)
    this.#abort?.abort()
    this.#abort = undefined
    if (entries.length === 0) {
      this.answer = null
      this.asking = false
      this.trouble = ''
      return
    }
    this.asking = true
    this.#timer = setTimeout(() => void this.#go(entries, key), calm)
  }

  async #go(entries: Entry[], key: string): Promise<void> {
    const abort = new AbortController()
    this.#abort = abort
    try {
      const answer = await this.ask(entries, abort.signal)
      if (key !== this.#key) return
      this.answer = answer
      this.trouble = ''
    } catch (reason) {
      if (key !== this.#key) return
      this.answer = null
      this.trouble = reason instanceof Refused ? reason.message : reason instanceof Unreachable ? 'lost' : String(reason)
    }
    this.asking = false
    this.#abort = undefined
  }
}
