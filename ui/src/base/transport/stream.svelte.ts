import type { Snapshot } from './api'
import type { Link, Source } from './link'

const lostAfter = 2750 // milliseconds of silence; the bench beats every 2000
const lookEvery = 100 // milliseconds: with both, a silence shows within three seconds
const lookEveryNear = 1000 // milliseconds, where the bench is in the page
const giveUpAfter = 6000 // after which the stream is opened anew
const backAfter = 1000 // after a stream broke

/** After how many milliseconds a page whose hub ended comes back: many do not come at one moment. `random` is from 0 to 1. */
export const backIn = (spread: number, random: number) => backAfter + random * spread

/** What a stream tells the page. */
interface Listener {
  /** `first` is the one that a stream begins with: it is what the bench has, also where that is less than before. */
  state: (snapshot: Snapshot, first: boolean) => void
  beat: (benchNow: number) => void
  /** Whether the state with this number is known already. */
  knows: (seq: number) => boolean
  /** The seat was taken away from this device; nothing more will come. */
  revoked?: () => void
  /** The bench counts too many streams of this browser; nothing will come on this one. */
  full?: () => void
  /** The seats of the game have changed; only the bench hears it. */
  seats?: (seats: unknown) => void
  /** What this device is to the bench has changed. */
  session?: (session: unknown) => void
}

/**
 * Stream listens to the bench and knows within three seconds that it hears
 * nothing. It opens itself again until it is closed.
 */
export class Stream {
  /** Whether the bench was heard a moment ago. True before the first silence. */
  heard = $state(true)
  /** When the bench was last heard, in milliseconds of this page's monotonic time; 0 for never. */
  lastHeard = $state.raw(0)
  #source: Source | undefined
  #last = performance.now()
  #opened = 0
  #spread: number | undefined // milliseconds, as a hub says by how many follow; a bench on the LAN says nothing
  #again = Infinity // when to open it anew
  #watch: ReturnType<typeof setInterval> | undefined
  #ended = false
  #resting = false

  constructor(
    private readonly link: Link,
    private readonly path: string,
    private readonly listener: Listener,
  ) {}

  open(): () => void {
    this.#connect()
    this.#mind()
    return () => this.#close()
  }

  /** Opens the stream anew at once, when the old one is of no use: after a sleep, or when the page lost its place. */
  reopen(): void {
    if (!this.#ended && this.#source) this.#connect()
  }

  /** Nothing on the screen counts, or something does again: a source that can rest is not looked after meanwhile. */
  rest(on: boolean): void {
    if (this.#resting && !on) this.#last = performance.now()
    this.#resting = on
    this.#source?.rest?.(on)
    this.#mind()
  }

  /** Looks for a silence whenever there may be one. */
  #mind(): void {
    const look = !this.#ended && this.#source && !(this.#resting && this.heard && this.#source.rest)
    if (!look) {
      clearInterval(this.#watch)
      this.#watch = undefined
    } else this.#watch ??= setInterval(() => this.#look(), this.link.near ? lookEveryNear : lookEvery)
  }

  #close(): void {
    this.#ended = true
    this.#mind()
    this.#source?.close()
  }

  #connect(): void {
    this.#source?.close()
    this.#opened = performance.now()
    this.#again = Infinity
    const source = this.link.listen(this.path)
    this.#source = source
    source.rest?.(this.#resting)
    let first = true
    source.addEventListener('open', () => (first = true))
    const news = (event: Event) => {
      const { data, lastEventId } = event as MessageEvent<string>
      // What this page posted itself comes with the answer to the post, too: read it once.
      if (!first && lastEventId !== '' && this.listener.knows(Number(lastEventId))) return this.#alive()
      const snapshot = JSON.parse(data) as Snapshot
      this.#hear(snapshot.now_ms)
      this.listener.state(snapshot, first)
      first = false
    }
    source.addEventListener('state', news)
    source.addEventListener('change', news)
    source.addEventListener('beat', (event) => {
      const said = JSON.parse((event as MessageEvent<string>).data) as { now_ms: number; spread_ms?: number }
      this.#spread = said.spread_ms
      this.#hear(said.now_ms)
    })
    source.addEventListener('seats', (event) => {
      this.#alive()
      this.listener.seats?.(JSON.parse((event as MessageEvent<string>).data))
    })
    source.addEventListener('session', (event) => {
      this.#alive()
      this.listener.session?.(JSON.parse((event as MessageEvent<string>).data))
    })
    source.addEventListener('full', () => {
      this.#close()
      this.listener.full?.()
    })
    source.addEventListener('revoked', () => {
      this.#close()
      this.listener.revoked?.()
    })
    source.addEventListener('error', () => {
      this.heard = false
      if (this.#spread !== undefined) this.#comeBack(source, this.#spread)
      this.#mind()
    })
  }

  /** Opens it anew in a while, and not when the browser would. */
  #comeBack(source: Source, spread: number): void {
    source.close()
    this.#again = performance.now() + backIn(spread, Math.random())
  }

  #hear(benchNow: number): void {
    this.#alive()
    this.listener.beat(benchNow)
  }

  #alive(): void {
    this.#last = performance.now()
    this.lastHeard = this.#last
    this.heard = true
    this.#mind()
  }

  #look(): void {
    const now = performance.now()
    if (now - this.#last > lostAfter) this.heard = false
    if (this.#again < Infinity) {
      if (now >= this.#again) this.#connect()
      return
    }
    const stuck = now - Math.max(this.#last, this.#opened) > giveUpAfter
    const closed = this.#source?.readyState === EventSource.CLOSED && now - this.#opened > 1000
    if (stuck && this.#source && this.#spread !== undefined) this.#comeBack(this.#source, this.#spread)
    else if (stuck || closed) this.#connect()
  }
}
