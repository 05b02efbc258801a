// What comes from a hub as server-sent events, read by fetch: a bench shows its secret in a header, which
// EventSource cannot.

const silentAfter = 7000 // milliseconds; the hub beats every 2000
const againFirst = 1000 // milliseconds until the next try
const againMost = 10_000

/** An event, with its data. */
export interface Said {
  name: string
  data: string
}

/** Why a hub is not heard: not reached, or what it answered. */
export class NotHeard extends Error {
  constructor(readonly status: number) {
    super(`the hub answered ${status}`)
  }
}

/** Reads events out of a stream of text, which comes in any pieces. */
export class Events {
  #rest = ''
  take(text: string): Said[] {
    const whole = (this.#rest + text).split('\n\n')
    this.#rest = whole.pop() ?? ''
    return whole.map((one) => {
      const said: Said = { name: 'message', data: '' }
      for (const line of one.split('\n')) {
        const [name = '', ...rest] = line.split(': ')
        if (name === 'event') said.name = rest.join(': ')
        if (name === 'data') said.data = rest.join(': ')
      }
      return said
    })
  }
}

/** Hears a stream until it ends, is silent, or is broken off. Rejects with NotHeard where the hub says no. */
export async function hear(path: string, headers: Record<string, string>, end: AbortController, told: (said: Said) => void): Promise<void> {
  let timer = setTimeout(() => end.abort(), silentAfter)
  try {
    const answer = await fetch(path, { headers, signal: end.signal, cache: 'no-store', credentials: 'omit', redirect: 'error' })
    if (!answer.ok || !answer.body) throw new NotHeard(answer.status)
    const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader()
    const events = new Events()
    for (;;) {
      const { value, done } = await reader.read()
      if (done) return
      clearTimeout(timer)
      timer = setTimeout(() => end.abort(), silentAfter)
      for (const said of events.take(value)) told(said)
    }
  } finally {
    clearTimeout(timer)
    end.abort()
  }
}

/** Waits before the next try: longer each time, never the same for all, and no longer once the network is back. */
export class Pauses {
  #tries = 0
  #woken: (() => void) | undefined

  constructor() {
    globalThis.addEventListener?.('online', () => this.end())
    globalThis.document?.addEventListener('visibilitychange', () => this.end()) // a phone that was put away sleeps
  }
  /** The last try succeeded. */
  none(): void {
    this.#tries = 0
  }
  /** Tries at once. */
  end(): void {
    this.#woken?.()
  }
  next(): Promise<void> {
    const long = Math.min(againMost, againFirst * 2 ** this.#tries++) * (0.75 + Math.random() / 2)
    return new Promise((resolve) => {
      const timer = setTimeout(resolve, long)
      this.#woken = () => {
        clearTimeout(timer)
        resolve()
      }
    })
  }
}

/** Sends texts one message behind the other: what is sent while one is on its way goes with the next. */
export class Sending<One> {
  #queue: One[] = []
  #busy = false

  constructor(
    private readonly most: number,
    private readonly size: (one: One) => number,
    private readonly send: (all: One[]) => Promise<void>,
    private readonly failed: () => void,
  ) {}

  put(one: One): void {
    this.#queue.push(one)
    void this.#go()
  }
  /** What waits is not sent any more. */
  drop(): void {
    this.#queue = []
  }
  async #go(): Promise<void> {
    if (this.#busy) return
    this.#busy = true
    try {
      while (this.#queue.length > 0) {
        let bytes = 0
        const fits = this.#queue.findIndex((one, i) => (bytes += this.size(one)) > this.most && i > 0)
        await this.send(this.#queue.splice(0, fits < 0 ? this.#queue.length : fits))
      }
    } catch {
      this.#queue = []
      this.failed()
    } finally {
      this.#busy = false
    }
  }
}
