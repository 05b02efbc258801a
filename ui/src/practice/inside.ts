import type { Link, Source } from '../base/transport/link'
import type { PracticeClock } from './clock'
import type { Engine } from './engine'

// As an EventSource has them.
const open = 1
const closed = 2
const every = 2000 // milliseconds between two beats, as a bench across the network beats

/** What a practice hears of its own screens. */
interface Heard {
  /** Something was posted, and the engine has answered. */
  posted: () => void
  /** The horn began to sound. */
  horn: () => void
  /** Something was built and is not posted, or is not any more. */
  drafting: (on: boolean) => void
}

/** Stands for the stream of a bench: it tells the state of a game when the engine has more entries than were told. */
class EngineSource extends EventTarget implements Source {
  readyState: number = open
  #told = -1
  #busy = false
  #beats: ReturnType<typeof setInterval>

  #wanted: number

  constructor(private readonly game: string, private readonly engine: Engine, private readonly time: PracticeClock, seq: number) {
    super()
    this.#wanted = seq
    this.#beats = setInterval(() => this.beat(), every)
    // Whoever opened this listens from now on.
    queueMicrotask(() => {
      this.dispatchEvent(new Event('open'))
      void this.#catchUp()
    })
  }

  close(): void {
    this.readyState = closed
    clearInterval(this.#beats)
  }

  beat(): void {
    this.#tell('beat', JSON.stringify({ now_ms: Math.floor(this.time.now()) }))
  }

  /** The ledger has entries up to `seq` now. */
  grew(seq: number): void {
    this.#wanted = Math.max(this.#wanted, seq)
    if (!this.#busy) void this.#catchUp()
  }

  async #catchUp(): Promise<void> {
    this.#busy = true
    try {
      while (this.#told < this.#wanted && this.readyState !== closed) {
        const wanted = this.#wanted
        const { status, body } = await this.engine.call('GET', `/games/${this.game}`, '', Math.floor(this.time.now()))
        if (status !== 200) return
        this.#told = wanted
        this.#tell('state', body, String(wanted))
      }
    } catch {
      this.dispatchEvent(new Event('error')) // the engine is gone: the practice says so
    } finally {
      this.#busy = false
    }
  }

  #tell(name: string, data: string, lastEventId = ''): void {
    if (this.readyState !== closed) this.dispatchEvent(new MessageEvent(name, { data, lastEventId }))
  }
}

/** EngineInside is the screens' link to the engine in this page. */
export class EngineInside implements Link {
  /** No network, no other page, no other device, and nothing to copy or to keep. */
  readonly can = { seats: false, copies: false, pages: false, keeps: false, shares: false }
  #sources: EngineSource[] = []
  #seq = 0
  #drafting = false

  constructor(private readonly engine: Engine, readonly time: PracticeClock, private readonly heard: Heard) {}

  async fetch(path: string, { method = 'GET', body, signal }: RequestInit): Promise<Response> {
    const sent = typeof body === 'string' ? body : body instanceof Blob ? await body.text() : ''
    const answer = await this.engine.call(method, path, sent, Math.floor(this.time.now()))
    if (path.endsWith('/entries')) this.heard.posted()
    signal?.throwIfAborted()
    return new Response(answer.body, { status: answer.status, headers: { 'content-type': 'application/json' } })
  }

  listen(path: string): Source {
    const source = new EngineSource(path.split('/')[2] ?? '', this.engine, this.time, this.#seq)
    this.#sources = [...this.#sources.filter((one) => one.readyState !== closed), source]
    return source
  }

  horn(): void {
    this.heard.horn()
  }

  drafting(on: boolean): void {
    if (on === this.#drafting) return
    this.#drafting = on
    // The screen is in the middle of something: what the engine says of it comes after.
    queueMicrotask(() => this.heard.drafting(on))
  }

  /** The ledger has entries up to `seq` now. */
  grew(seq: number): void {
    this.#seq = Math.max(this.#seq, seq)
    for (const one of this.#sources) one.grew(seq)
  }

  /** Heard at once, as after a while in the background, when browsers keep back what is due. */
  beat(): void {
    for (const one of this.#sources) one.beat()
  }

  close(): void {
    for (const one of this.#sources) one.close()
    this.#sources = []
  }
}
