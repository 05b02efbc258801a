import type { Beginning, Begun, Deed, Doing, Frames, Graded, Pace, Seen, Told } from '../base/contract/contract'
import type { Link } from '../base/transport/link'
import { askEngine } from './ask'
import { PracticeClock } from './clock'
import type { Engine } from './engine'
import { EngineInside } from './inside'

const most = 250 // milliseconds between two looks
const least = 5 // milliseconds: an instant that is due now was asked for a moment too early

/**
 * Run is one practice game under way: it asks the engine what there is to see,
 * puts the practice's clock on, and tells the engine what the learner does
 * beside the ledger. The screens get the link that it holds.
 */
export class Run {
  begun = $state.raw<Begun | null>(null)
  /** What the engine said last; each is shown before the next one is asked for. */
  seen = $state.raw<Seen | null>(null)
  /** The slips of the newest stoppage; null before the first one. */
  told = $state.raw<Told | null>(null)
  /** The slips for which the practice stands still until they were read. */
  stopped = $state.raw<Told | null>(null)
  graded = $state.raw<Graded | null>(null)
  /** Whether the practice stands still. It does until go is called for the first time. */
  paused = $state(true)
  pace = $state<Pace>('fast')
  /** Something is built on the screen and not posted. */
  drafting = $state(false)
  /** How many answers came, and for how long nothing new comes after the newest one, in milliseconds; for tests. */
  looks = $state.raw(0)
  quiet = $state.raw(0)
  /** The program plays every seat, and the learner watches; what it did last; and whether that is over. */
  watching = $state(false)
  doing = $state.raw<Doing | null>(null)
  watched = $state(false)
  /** The engine is gone, or said no to what it should do; in words. */
  trouble = $state('')
  readonly clock: PracticeClock
  readonly #inside: EngineInside
  #timer: ReturnType<typeof setTimeout> | undefined
  #looking = false // a look waits for its turn
  #last: Promise<void> = Promise.resolve()
  #closed = false

  constructor(private readonly engine: Engine, start = Date.now()) {
    this.clock = new PracticeClock(start)
    this.#inside = new EngineInside(engine, this.clock, {
      posted: () => this.look(),
      horn: () => void this.deed({ do: 'horn' }),
      drafting: (on) => {
        this.drafting = on
        void this.deed({ do: on ? 'drafting' : 'drafted' })
      },
    })
  }

  /** Begins the practice that was opened as one to watch, and lets it go. */
  watch(what: Beginning): void {
    void this.#try(async () => {
      await this.#last
      this.begun = await this.#ask<Begun>('/practice/begin', { ...what, pace: 'step', watch: true })
      this.pace = 'step'
      this.watching = true
      this.doing = null
      this.go()
    })
  }

  /** Begins a practice; it stands still until go. The result ends it. */
  open(what: Beginning): () => void {
    this.pace = what.pace
    const hide = () => {
      if (document.visibilityState === 'hidden') this.pause()
      else this.#inside.beat()
    }
    document.addEventListener('visibilitychange', hide)
    void this.#try(async () => {
      this.begun = await this.#ask<Begun>('/practice/begin', what)
      this.look()
    })
    return () => {
      this.#closed = true
      clearTimeout(this.#timer)
      document.removeEventListener('visibilitychange', hide)
      this.#inside.close()
    }
  }

  /** How the screens reach the engine. */
  get link(): Link { return this.#inside }

  /** The time of the practice, in milliseconds of Unix time. */
  readonly now = (): number => this.clock.now()

  readonly frames = (cue: number): Promise<Frames> => this.#ask<Frames>(`/practice/frames/${cue}`)

  pause(): void {
    if (this.graded) return
    this.clock.pause()
    this.paused = true
  }

  go(): void {
    this.stopped = null
    this.clock.go()
    this.paused = false
    this.look()
  }

  /** Step by step: go on to what comes next. */
  next(): void {
    void this.#see('/practice/next', {})
  }

  async setPace(pace: Pace): Promise<void> {
    this.pace = pace
    await this.#see('/practice/pace', { pace })
  }

  /** Something that the learner does beside the ledger. */
  async deed(deed: Deed): Promise<void> {
    if (this.begun) await this.#see('/practice/act', deed)
  }

  /** Asks what there is to see now. */
  look(): void {
    clearTimeout(this.#timer)
    if (this.#looking || !this.begun || this.graded || this.watched) return
    this.#looking = true
    void this.#see('/practice/look', {}, () => (this.#looking = false))
  }

  /** The grade as it would be if the practice ended here. */
  async grade(): Promise<Graded> {
    return this.#ask<Graded>('/practice/grade')
  }

  /** Everything that happened, to be kept as a file. */
  async record(): Promise<string> {
    return (await this.engine.call('GET', '/practice/record', '', this.#instant())).body
  }

  /**
   * Asks one question after another: each answer may put the clock on, and two
   * that were asked at one instant would put it on twice. `asked` is called when
   * the question has gone out.
   */
  #see(path: string, body: unknown, asked: () => void = () => undefined): Promise<void> {
    this.#last = this.#last.then(() => this.#try(async () => {
      asked()
      if (!this.#closed && !this.graded) await this.#take(await this.#ask<Seen>(path, body))
    }))
    return this.#last
  }

  async #take(seen: Seen): Promise<void> {
    if (this.#closed) return
    this.seen = seen
    this.looks++
    this.quiet = seen.jump_ms > 0 ? 0 : Math.max(0, Math.floor(seen.next_ms - this.clock.now()))
    this.#inside.grew(seen.seq)
    if (seen.doing?.length) this.doing = seen.doing.at(-1) ?? null
    if (seen.over && this.watching) {
      this.clock.pause()
      this.watched = true
      return
    }
    if (seen.stops) this.pause()
    if (seen.told && !this.watching) {
      this.told = await this.#ask<Told>('/practice/told')
      if (this.told.stops) this.stopped = this.told
    }
    if (seen.over) {
      this.graded = await this.grade()
      return
    }
    if (seen.jump_ms > 0) this.clock.jump(seen.jump_ms)
    clearTimeout(this.#timer)
    if (this.paused) return
    const wait = seen.jump_ms > 0 ? 0 : Math.min(most, Math.max(least, seen.next_ms - this.clock.now()))
    this.#timer = setTimeout(() => this.look(), wait)
  }

  async #try(act: () => Promise<void>): Promise<void> {
    try {
      await act()
    } catch (reason) {
      this.trouble = reason instanceof Error ? reason.message : String(reason)
    }
  }

  #ask<T>(path: string, body?: unknown): Promise<T> {
    return askEngine<T>(this.engine, path, this.#instant(), body)
  }

  #instant(): number {
    return Math.floor(this.clock.now())
  }
}
