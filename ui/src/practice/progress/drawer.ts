import { Held } from './held'

/** What can be wrong with keeping something in this browser; '' is nothing. */
export type Trouble = '' | 'full' | 'forbidden' | 'damaged' | 'newer'

/** Where texts stay while the page is closed: localStorage, or a stand-in. */
export type Texts = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>

/** localStorage; undefined where the browser forbids it, as some do in private windows and for files of a stick. */
export function browserTexts(): Texts | undefined {
  try {
    return localStorage instanceof Held ? undefined : localStorage
  } catch {
    return undefined
  }
}

interface Content<T> {
  key: string
  version: number
  empty: () => T
  /** Takes what is sound of what was read, or null where nothing makes sense. */
  sound: (read: unknown) => T | null
}

/**
 * Drawer keeps one thing in this browser, as JSON with a version. Where the
 * browser does not keep it, it is held as long as the page is open, and `trouble`
 * says why. Every change starts from what is in the browser then, so that another
 * tab's change is not lost. What cannot be read is set aside and not overwritten.
 */
export class Drawer<T> {
  trouble: Trouble = ''
  #held: T
  #of: Content<T>
  #texts: Texts | undefined

  constructor(of: Content<T>, texts: Texts | undefined = browserTexts()) {
    this.#of = of
    this.#texts = texts
    this.#held = of.empty()
    if (texts === undefined) this.trouble = 'forbidden'
    this.read()
  }

  get key(): string {
    return this.#of.key
  }

  read(): T {
    let text: string | null
    try {
      text = this.#texts?.getItem(this.key) ?? null
    } catch {
      this.trouble = 'forbidden'
      return this.#held
    }
    // What was not taken by a full or forbidden browser is only here.
    if (this.trouble === 'full' || this.trouble === 'forbidden') return this.#held
    if (text === null) {
      this.#held = this.#of.empty()
      return this.#held
    }
    const { version, content } = unpack(text)
    if (version > this.#of.version) {
      this.trouble = 'newer'
      return this.#held
    }
    if (this.trouble === 'newer') this.trouble = ''
    const found = version === this.#of.version ? this.#of.sound(content) : null
    if (found === null) this.#setAside(text)
    else this.#held = found
    return this.#held
  }

  /** Changes what is kept. It counts for this page also where the browser does not keep it. */
  change(how: (before: T) => T): T {
    this.#held = how(this.read())
    if (this.trouble === 'newer' || this.#texts === undefined) return this.#held
    try {
      this.#texts.setItem(this.key, JSON.stringify({ version: this.#of.version, content: this.#held }))
      this.trouble = ''
    } catch (reason) {
      this.trouble = reason instanceof DOMException && reason.name === 'SecurityError' ? 'forbidden' : 'full'
    }
    return this.#held
  }

  /** Listens for what other tabs do; the answer stops it. */
  listen(changed: () => void): () => void {
    const heard = (event: StorageEvent) => {
      if (event.key === null || event.key === this.key) changed()
    }
    addEventListener('storage', heard)
    return () => removeEventListener('storage', heard)
  }

  /** Throws away what was set aside: nobody can read it, and names may be in it. */
  clearAside(): void {
    try {
      this.#texts?.removeItem(`${this.key}.damaged`)
    } catch {
      this.trouble = 'forbidden'
    }
  }

  #setAside(text: string): void {
    this.#held = this.#of.empty()
    try {
      this.#texts?.setItem(`${this.key}.damaged`, text)
      this.#texts?.removeItem(this.key)
      this.trouble = 'damaged'
    } catch {
      this.trouble = 'full'
    }
  }
}

function unpack(text: string): { version: number; content: unknown } {
  try {
    const { version, content } = JSON.parse(text) as { version?: unknown; content?: unknown }
    return { version: typeof version === 'number' ? version : 0, content }
  } catch {
    return { version: 0, content: null }
  }
}
