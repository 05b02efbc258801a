/** Carries texts to another device and back: whole and in order, as long as it is up. */
export interface Wire {
  /** Whether the other device is reached at the moment. */
  readonly up: boolean
  /** Sends a text. Where the wire is down, it is lost. */
  send(text: string): void
  /** What comes, and when the wire went up or down. There is one listener. */
  listen(heard: (text: string) => void, turned: (up: boolean) => void): void
  close(): void
}

// A piece is at most so many UTF-16 units: below what every browser takes as one message, whatever the letters.
const piece = 16_000
const textMost = 4_000_000

/** A text in pieces that fit into messages: the last one begins with a dot, the others with a plus. */
export function pieces(text: string): string[] {
  const out: string[] = []
  for (let at = 0; ; ) {
    let end = Math.min(text.length, at + piece)
    const last = text.charCodeAt(end - 1)
    if (end < text.length && last >= 0xd800 && last < 0xdc00) end-- // a letter of two units stays whole
    out.push((end === text.length ? '.' : '+') + text.slice(at, end))
    if (end === text.length) return out
    at = end
  }
}

/** Puts pieces together again. Throws at what no device of ours sends. */
export class Pieces {
  #kept: string[] = []
  #length = 0

  /** Takes a piece; returns the text once it is whole. */
  take(one: string): string | undefined {
    this.#length += one.length
    if (this.#length > textMost || !/^[.+]/.test(one)) throw new RangeError('a message that no device sends')
    this.#kept.push(one.slice(1))
    if (one.startsWith('+')) return undefined
    const text = this.#kept.join('')
    this.#kept = []
    this.#length = 0
    return text
  }
}

/** What a device asks the bench over a wire. Bodies are base64. */
export type FromDevice =
  | { ask: number; method: string; path: string; body: string; token: string }
  | { listen: number; path: string; token: string }
  | { deaf: number }

/** What the bench tells a device. */
export type FromBench =
  | { answer: number; status: number; media: string; name: string; body: string; paired?: string; leaves?: boolean }
  | { heard: number; event: string; data: string; lastEventId: string }
  | { room: string; mark: string } // where the bench is at its hub, and by what it is known there

export function toBase64(bytes: Uint8Array): string {
  let text = ''
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192))
  return btoa(text)
}

export function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(text), (one) => one.charCodeAt(0))
}
