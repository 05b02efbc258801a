import type { Entry } from '../contract/contract'
import { type Answer, Refused } from './api'

/** Entries that go out together, all or none. */
export interface Batch {
  key: string // the id of its first entry
  entries: Entry[]
  saw: number // number of the newest entry that was known when they were entered
  tried?: boolean // it went out, and nobody knows whether it arrived
}

/** A batch that the bench did not take, with its reason. */
export interface Refusing {
  batch: Batch
  why: Refused
}

/** Where batches stay while the page is closed: localStorage, or a stand-in. */
export type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem' | 'key' | 'length'>

type Send = (entries: Entry[], saw: number) => Promise<Answer>

const tooMany = 429 // HTTP
const notLetIn = 403 // HTTP: this device is no seat of the game any more

const unsent = 'whistlestop.unsent'
const refused = 'whistlestop.refused'

/** How many batches of a game wait on a shelf. */
export function unsentOn(shelf: Shelf, game: string): number {
  return Array.from({ length: shelf.length }, (_, i) => shelf.key(i)).filter((key) => key?.startsWith(`${unsent}.${game}.`)).length
}

/**
 * Outbox sends batches of entries one after another, in the order in which they
 * were put in. What the bench did not answer stays, also on the shelf, and is
 * sent again: the ids of the entries make that harmless. What it refused stays
 * until a person has read it. Every batch has a shelf key of its own, so that
 * two pages on one device do not overwrite each other's.
 */
export class Outbox {
  waiting = $state.raw<Batch[]>([])
  refused = $state.raw<Refusing[]>([])
  /** The bench takes nothing from this device any more; what waits stays. */
  shut = $state(false)
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
    this.waiting = this.#stored(unsent).flatMap(({ key, text }) => readBatch(key, text))
    this.refused = this.#stored(refused).flatMap(({ key, text }) => readRefusing(key, text))
  }

  /**
   * Puts a batch in and sends it as soon as it can. The promise is kept when the
   * bench has taken it, broken when the bench refuses it, and open while there
   * is no answer. A refusal because somebody else was first is listed as well:
   * it takes a decision.
   */
  put(entries: Entry[], saw = 0): Promise<void> {
    const key = entries[0]?.id
    if (key === undefined) return Promise.resolve()
    const batch = { key, entries, saw }
    // What goes out at once is put on the shelf as it goes.
    if (this.#busy || this.shut || this.waiting.length > 0) this.#store(unsent, key, batch)
    this.waiting = [...this.waiting, batch]
    const answer = new Promise<void>((resolve, reject) => this.#answers.set(key, { resolve, reject }))
    void this.flush()
    return answer
  }

  /**
   * Puts a batch in for somebody who does not wait: a refusal is listed until it
   * is dismissed, unless `told` says it elsewhere. The promise says whether the
   * bench took it.
   */
  offer(entries: Entry[], saw = 0, told: (why: Refused) => boolean = () => false): Promise<boolean> {
    const key = entries[0]?.id ?? ''
    return this.put(entries, saw).then(
      () => true,
      (why: Refused) => {
        if (!why.stale && !told(why)) this.#list({ batch: { key, entries, saw }, why })
        return false
      },
    )
  }

  /** Sends what waits. Called again whenever the bench is heard. */
  async flush(): Promise<void> {
    if (this.#busy || this.shut) return
    clearTimeout(this.#retry)
    this.#busy = true
    try {
      for (let batch = this.waiting[0]; batch; batch = this.waiting[0]) {
        try {
          if (!batch.tried) {
            batch.tried = true
            this.#store(unsent, batch.key, batch)
          }
          const answer = await this.send(batch.entries, batch.saw)
          this.took(answer)
          this.#drop(batch)
          this.#answers.get(batch.key)?.resolve()
        } catch (reason) {
          if (reason instanceof Refused && reason.status === notLetIn) {
            this.shut = true
            return
          }
          // Too much at once is not refused for what it is: it goes out a little later.
          if (!(reason instanceof Refused) || reason.status === tooMany) {
            this.#retry = setTimeout(() => void this.flush(), this.pause)
            return
          }
          const answer = this.#answers.get(batch.key)
          answer?.reject(reason)
          if (!answer || reason.stale) this.#list({ batch, why: reason })
          this.#drop(batch)
        }
        this.#answers.delete(batch.key)
      }
    } finally {
      this.#busy = false
    }
  }

  /**
   * Takes back what waits. What never went out is gone, with everything that
   * builds on it. What went out without an answer may have arrived: a strike of it
   * follows, so that it counts in neither case.
   */
  takeBack(key: string, strike: (of: string) => Entry): void {
    const batch = this.waiting.find((one) => one.key === key)
    if (!batch) return
    if (batch.tried) {
      for (const entry of batch.entries) void this.offer([strike(entry.id)], batch.saw)
      return
    }
    const ids = batch.entries.map((entry) => entry.id)
    this.forget(key)
    for (const one of this.waiting) if (one.entries.some((entry) => entry.of !== undefined && ids.includes(entry.of))) this.takeBack(one.key, strike)
  }

  /** Forgets what waits: somebody else has it now. */
  forget(key: string): void {
    const batch = this.waiting.find((one) => one.key === key)
    if (!batch) return
    this.#drop(batch)
    this.#answers.get(key)?.resolve()
    this.#answers.delete(key)
  }

  /** Forgets a refusal that a person has read. */
  dismiss(key: string): void {
    this.refused = this.refused.filter((one) => one.batch.key !== key)
    this.shelf.removeItem(this.#name(refused, key))
  }

  #list(one: Refusing): void {
    const { entries, saw, key } = one.batch
    const { status, title, detail, refused: said, stale } = one.why
    this.#store(refused, key, { entries, saw, why: { status, title, detail, refused: said, stale } })
    this.refused = [...this.refused, one]
  }

  #drop(batch: Batch): void {
    this.waiting = this.waiting.filter((one) => one.key !== batch.key)
    this.shelf.removeItem(this.#name(unsent, batch.key))
  }

  #store(kind: string, key: string, what: unknown): void {
    try {
      this.shelf.setItem(this.#name(kind, key), JSON.stringify(what))
    } catch {
      // The shelf is full or forbidden: the batch still waits in memory.
    }
  }

  #stored(kind: string): { key: string; text: string }[] {
    const list: { key: string; text: string }[] = []
    const prefix = this.#name(kind, '')
    for (let i = 0; i < this.shelf.length; i++) {
      const name = this.shelf.key(i)
      if (name?.startsWith(prefix)) list.push({ key: name.slice(prefix.length), text: this.shelf.getItem(name) ?? '' })
    }
    return list.sort((a, b) => (a.key < b.key ? -1 : 1))
  }

  #name(kind: string, key: string): string {
    return `${kind}.${this.game}.${key}`
  }
}

/** A batch from the shelf. None for half a batch: it cannot be sent, and is left alone. */
function readBatch(key: string, text: string): Batch[] {
  try {
    const { entries, saw = 0, tried } = JSON.parse(text) as Partial<Batch>
    return entries?.[0] ? [{ key, entries, saw, ...(tried ? { tried } : {}) }] : []
  } catch {
    return []
  }
}

function readRefusing(key: string, text: string): Refusing[] {
  try {
    const { why } = JSON.parse(text) as { why: Refused }
    return readBatch(key, text).map((batch) => ({
      batch, why: new Refused(why.status, why.title, why.detail, why.refused, why.stale),
    }))
  } catch {
    return []
  }
}
