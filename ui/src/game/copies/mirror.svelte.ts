import { checkLines, type Head, linesOf, noHead, takenOut, without } from './chain'
import type { CopyShelf } from './shelf'

const month = 30 * 24 * 60 * 60_000 // milliseconds after which a copy that did not grow is deleted (ours)

/** What is wrong with the copy, or with the bench's ledger beside it. */
export type CopyTrouble =
  | '' // nothing
  | 'full' // this browser keeps nothing, or no more
  | 'damaged' // a line of the copy was changed: it was kept aside, and fetched anew
  | 'ahead' // the copy has entries that the bench does not have
  | 'forked' // the bench goes on from another entry than the copy: the copy was kept aside
  | 'bad_answer' // what the bench sent does not follow from itself

/** Asks the bench for the lines of the ledger after a number. */
type Fetch = (after: number) => Promise<string>

/**
 * Mirror keeps a second copy of a game's ledger on this device, and checks that
 * every line follows from the one before it. The copy never loses a line because
 * the bench has lost it: a ledger that went another way starts a new copy, and
 * the old one stays beside it.
 */
export class Mirror {
  head = $state.raw<Head>(noHead)
  trouble = $state<CopyTrouble>('')
  /** Whether the whole copy was read back and checked since the page was opened. */
  checked = $state(false)
  #wanted = 0 // newest entry that the bench is known to have
  #busy: Promise<void> | undefined
  #closed = false

  constructor(
    private readonly game: string,
    private readonly fetch: Fetch,
    private readonly shelf: CopyShelf,
    private readonly now: () => number = Date.now,
  ) {}

  /** Reads the copy back, checks it, and deletes copies that are old. */
  async open(): Promise<void> {
    try {
      for (const { copy, grew } of await this.shelf.list()) {
        if (this.now() - grew > month) await this.shelf.remove(copy)
      }
      const lines = await this.shelf.read(this.game)
      const { head, bad } = checkLines(lines)
      if (bad) {
        await this.#aside()
        this.trouble = 'damaged'
      } else this.head = head
      this.checked = true
    } catch {
      this.trouble = 'full'
    }
  }

  /** Told whenever the bench's ledger is known to have come to `seq`. */
  follow(seq: number): Promise<void> {
    this.#wanted = seq
    this.#busy ??= this.#catchUp().finally(() => (this.#busy = undefined))
    return this.#busy
  }

  /** The copy as a file, as the bench exports a ledger. */
  async text(): Promise<string> {
    return (await this.shelf.read(this.game)).map((line) => `${line}\n`).join('')
  }

  /** Deletes the copy and those beside it: a seat that was taken back keeps nothing. */
  async forget(): Promise<void> {
    this.#closed = true
    try {
      for (const { copy } of await this.shelf.list()) {
        if (copy === this.game || copy.startsWith(`${this.game}/`)) await this.shelf.remove(copy)
      }
      this.head = noHead
    } catch {
      this.trouble = 'full'
    }
  }

  async #catchUp(): Promise<void> {
    // Once more where entries came while the others were fetched.
    for (let tries = 0; tries < 3 && this.checked && !this.#closed; tries++) {
      if (this.#wanted < this.head.seq) {
        this.trouble = 'ahead'
        return
      }
      if (this.trouble === 'ahead') this.trouble = ''
      if (this.#wanted === this.head.seq) return
      let text: string
      try {
        text = await this.fetch(this.head.seq)
      } catch {
        return // The next entry, or the next time that the bench is heard, tries again.
      }
      if (this.#closed || !(await this.#take(linesOf(text)))) return
    }
  }

  /** Keeps lines that the bench sent. False where that is not to be tried again now. */
  async #take(lines: string[]): Promise<boolean> {
    const before = this.head
    const { good, head, bad } = checkLines(lines, before)
    if (bad && good.length === 0 && bad.why === 'link' && before.seq > 0) {
      await this.#aside()
      this.trouble = 'forked'
      return true
    }
    if (bad) this.trouble = 'bad_answer'
    if (good.length === 0) return false
    try {
      await this.shelf.add(this.game, before.seq, good)
      await this.#takeOut(good, head)
      this.head = head
      if (this.trouble === 'full') this.trouble = ''
      return !bad
    } catch {
      this.trouble = 'full'
      return false
    }
  }

  /**
   * Takes texts about people out of the copy that were taken out at the bench. Where
   * texts were inside older lines, the lines that took their place are fetched, and
   * copies that were set aside go.
   */
  async #takeOut(lines: string[], head: Head): Promise<void> {
    const said = lines.map(takenOut)
    const texts = said.flatMap((one) => one.texts)
    const inside = said.some((one) => one.lines)
    if (texts.length === 0 && !inside) return
    for (const { copy } of await this.shelf.list()) {
      if (copy !== this.game && !copy.startsWith(`${this.game}/`)) continue
      if (inside && copy !== this.game) {
        await this.shelf.remove(copy)
        continue
      }
      const kept = await this.shelf.read(copy)
      await this.shelf.add(copy, 0, kept.map((line) => without(line, texts)))
    }
    if (!inside) return
    const { good } = checkLines(linesOf(await this.fetch(0)))
    const instead = good.slice(0, head.seq)
    if (checkLines(instead).head.hash !== head.hash) throw new Error('the lines that took the place of older ones did not come')
    await this.shelf.add(this.game, 0, instead)
  }

  async #aside(): Promise<void> {
    await this.shelf.rename(this.game, `${this.game}/${this.now()}`)
    this.head = noHead
  }
}
