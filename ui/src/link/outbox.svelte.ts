import type { Entry } from '../contract/contract'
import { type Answer, Refused } from './api'

/** Entries that go out together, all or none. */
export interface Batch {
  key: string // the id of its first entry
  entries: Entry[]
}

/** Where unsent batches stay while the page is closed: localStorage, or a stand-in. */
export type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem' | 'key' | 'length'>

type Send = (entries: Entry[]) => Promise<Answer>

const prefix = 'whistlestop.unsent'

/**
 * Outbox sends batches of entries one after another, in the order in which they
 * were put in. What the bench did not answer stays, also on the shelf, and is
 * sent again: the ids of the entries make that harmless. Every batch has a
 * shelf key of its own, so that two pages on one device do not overwrite each
 * other's.
 */
export class Outbox {
  waiting = $state.raw<Batch[]>([])
  refused = $state.raw<{ batch: Batch; why: Refused }[]>([])
  #busy = false
  #retry: ReturnType<typeof setTimeout> | undefined
  // Nothing on the screen depends on who waits for an answer.
  // eslint-disable-next-line svelte/prefer-svelte-reactivity
  #answers = new Map<string, { resolve: () => void; reject: (why: Refused) => void }>()

  constructor(
    private readonly game: string,
    private readonly send: Send,
    private readonly took: (answer: Answer) => void,
    private readonly shelf: Shelf,
    private readonly pause = 1000, // milliseconds before another try
  ) {
    this.waiting = this.#stored()
  }

  /**
   * Puts a batch in and sends it as soon as it can. The promise is kept when the
   * bench has taken it, broken when the bench refuses it, and open while there
   * is no answer.
   */
  put(entries: Entry[]): Promise<void> {
    const key = entries[0]?.id
    if (key === undefined) return Promise.resolve()
    const batch = { key, entries }
    this.#store(batch)
    this.waiting = [...this.waiting, batch]
    const answer = new Promise<void>((resolve, reject) => this.#answers.set(key, { resolve, reject }))
    void this.flush()
    return answer
  }

  /** Sends what waits. Called again whenever the bench is heard. */
  async flush(): Promise<void> {
    if (this.#busy) return
    clearTimeout(this.#retry)
    this.#busy = true
    try {
      for (let batch = this.waiting[0]; batch; batch = this.waiting[0]) {
        try {
          const answer = await this.send(batch.entries)
          this.took(answer)
          this.#drop(batch)
          this.#answers.get(batch.key)?.resolve()
        } catch (reason) {
          if (!(reason instanceof Refused)) {
            this.#retry = setTimeout(() => void this.flush(), this.pause)
            return
          }
          this.#drop(batch)
          const answer = this.#answers.get(batch.key)
          if (answer) answer.reject(reason)
          else this.refused = [...this.refused, { batch, why: reason }]
        }
        this.#answers.delete(batch.key)
      }
    } finally {
      this.#busy = false
    }
  }

  /** Forgets a refusal that a person has read. */
  dismiss(key: string): void {
    this.refused = this.refused.filter((one) => one.batch.key !== key)
  }

  #drop(batch: Batch): void {
    this.waiting = this.waiting.filter((one) => one.key !== batch.key)
    this.shelf.removeItem(this.#name(batch.key))
  }

  #store(batch: Batch): void {
    try {
      this.shelf.setItem(this.#name(batch.key), JSON.stringify(batch.entries))
    } catch {
      // The shelf is full or forbidden: the batch still waits in memory.
    }
  }

  #stored(): Batch[] {
    const list: Batch[] = []
    for (let i = 0; i < this.shelf.length; i++) {
      const name = this.shelf.key(i)
      if (!name?.startsWith(this.#name(''))) continue
      try {
        const entries = JSON.parse(this.shelf.getItem(name) ?? '[]') as Entry[]
        const key = entries[0]?.id
        if (key !== undefined) list.push({ key, entries })
      } catch {
        // Half a batch cannot be sent: leave it alone.
      }
    }
    return list.sort((a, b) => (a.key < b.key ? -1 : 1))
  }

  #name(key: string): string {
    return `${prefix}.${this.game}.${key}`
  }
}
