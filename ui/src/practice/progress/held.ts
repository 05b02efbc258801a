/** Held stands in for the browser's storage where that is forbidden: it forgets with the page. */
export class Held implements Storage {
  [name: string]: unknown
  readonly #texts = new Map<string, string>()

  get length(): number {
    return this.#texts.size
  }
  key(at: number): string | null {
    return [...this.#texts.keys()][at] ?? null
  }
  getItem(key: string): string | null {
    return this.#texts.get(key) ?? null
  }
  setItem(key: string, text: string): void {
    this.#texts.set(key, text)
  }
  removeItem(key: string): void {
    this.#texts.delete(key)
  }
  clear(): void {
    this.#texts.clear()
  }
}

/** Lets the screens work, which remember a setting or two, where the browser forbids it. */
export function standInForStorage(page: Window & typeof globalThis = window): void {
  for (const name of ['localStorage', 'sessionStorage'] as const) {
    try {
      page[name].getItem('')
    } catch {
      Object.defineProperty(page, name, { configurable: true, value: new Held() })
    }
  }
}
