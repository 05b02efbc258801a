import type { Announcement } from '../../base/contract/contract'

const again = 1000 // milliseconds before another try

/** Announcements are fetched whenever the game has changed; the newest list counts. */
export class Announcements {
  list = $state.raw<Announcement[]>([])
  lost = $state(false)
  #seq = -1 // the entry that the list is of
  #wanted = -1
  #busy = false

  constructor(private readonly ask: () => Promise<{ announcements: Announcement[]; seq: number }>, private readonly pause = again) {}

  /** Wants the list as of an entry. One question is on its way at a time. */
  async want(seq: number): Promise<void> {
    this.#wanted = Math.max(seq, this.#wanted)
    if (this.#busy) return
    this.#busy = true
    try {
      while (this.#seq < this.#wanted) {
        try {
          const answer = await this.ask()
          this.list = answer.announcements
          this.#seq = answer.seq
          this.lost = false
        } catch {
          this.lost = true
          await new Promise((resolve) => setTimeout(resolve, this.pause))
        }
      }
    } finally {
      this.#busy = false
    }
  }
}
