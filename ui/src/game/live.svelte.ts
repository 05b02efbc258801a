import { untrack } from 'svelte'
import type { At, Clock, DelayWhy, Entry, Kind, NextStage, Preview, RinkCardView, Say, Seat, State } from '../base/contract/contract'
import { meantBefore, touchedAt, type Turn, turnOf } from './clock/control'
import { delayShows, type Reading, readClock, timeOutLeft } from './clock/reading'
import { Ticker } from './clock/ticker.svelte'
import { type Now, playNow } from './lanes/play'
import { nextPicture, painted } from '../base/later/painted'
import { apiOver, type Has, Refused, type Snapshot, Unreachable, type View } from '../base/transport/api'
import { after, follows } from '../base/transport/change'
import { draft } from '../base/transport/draft'
import { Outbox, type Shelf } from '../base/transport/outbox.svelte'
import { SleepWatch } from '../base/transport/sleep'
import { Stream } from '../base/transport/stream.svelte'
import { pagesChannel, Tabs } from '../base/transport/tabs'
import { BenchTime } from '../base/transport/time'
import { type Link, network, type Timepiece } from '../base/transport/link'
import { isPress, overlayClock } from './overlay'

const again = 60_000 // milliseconds between measurements of the offset
const lanesStep = 50 // milliseconds between two pictures of the lanes
const sleepLook = 500 // milliseconds between two looks whether the device slept; at rest it is looked at with the offset, and when something is touched
const saidFor = 15_000 // milliseconds for which it is said that a press was not taken
const touches = ['pointerdown', 'keydown'] as const
const bounce = 250 // milliseconds in which a second press on the clock is the same press

/** What is worked out in every frame, and mostly says what it said before. */
interface Kept {
  reading: Reading
  now: Now
}

// Who may only look has nothing to send, also not what another page of the same device left behind.
// And what a practice game did not take is gone with it.
const nothing: Shelf = { length: 0, key: () => null, getItem: () => null, setItem: () => undefined, removeItem: () => undefined }

/** How a page takes part in a game. */
interface Part {
  link?: Link // to the bench; the network, if not said
  view?: View
  seat?: Seat // what its entries are said to come from; the bench knows better where a seat is paired
  seats?: (seats: unknown) => void // the seats of the game have changed
  session?: (session: unknown) => void // what this device is to the bench has changed
}

/** LiveGame is a game as this page sees it: state, clock, link and unsent posts. */
export class LiveGame {
  state = $state.raw<State | null>(null)
  /** The same a picture later: for lists, which nobody waits for. */
  listed = $state.raw<State | null>(null)
  /** The rink card in use, as of the same entry as the state. */
  card = $state.raw<RinkCardView | null>(null)
  /** What the bench changed in a post and people should know. */
  notes = $state.raw<Say[]>([])
  readonly api: ReturnType<typeof apiOver>
  readonly time: Timepiece
  readonly ticker: Ticker
  readonly outbox: Outbox
  readonly stream: Stream
  /** Whether the bench's time is known. False from a sleep of this device until the time was measured again. */
  sure = $state(true)
  /** Too many pages of this browser are open already: this one does not listen. */
  crowded = $state(false)
  /** The seat was taken away from this device. */
  revoked = $state(false)
  readonly seat: Seat
  readonly link: Link
  /** Why the newest press on the clock was not taken; null once it was. */
  crossed = $state.raw<Say | null>(null)
  #pressed = Number.NEGATIVE_INFINITY
  #measuring: Promise<void> | undefined
  #turn: Turn | null = null
  #said: ReturnType<typeof setTimeout> | undefined
  #run = '' // of the bench that the state came from
  #kept: Partial<Kept> = {}

  constructor(readonly id: string, { view = '', seat = 'solo', seats, session, link = network }: Part = {}) {
    this.seat = seat
    this.link = link
    this.api = apiOver(link)
    this.time = link.time ?? new BenchTime(this.api.time)
    this.ticker = new Ticker(() => this.time.now())
    this.outbox = new Outbox(id, async (entries, saw) => {
      // A press on the clock is shown before the bench has it: in a page with its bench the one would slow the other.
      if (link.near && entries.every(isPress)) await nextPicture()
      return this.api.post(id, entries, saw, this.#has())
    }, (answer) => {
      if (answer.notes?.length) this.notes = [...this.notes, ...answer.notes]
      this.#take(answer)
    }, view === 'public' || !link.can.keeps ? nothing : localStorage)
    this.stream = new Stream(link, this.api.stream(id, view), {
      state: (snapshot, first) => this.#take(snapshot, first),
      knows: (seq) => this.state !== null && seq <= this.state.seq,
      beat: (benchNow) => {
        this.time.hint(benchNow)
        if (!this.time.measured) void this.#measure()
        if (this.outbox.waiting.length > 0) void this.outbox.flush()
      },
      revoked: () => (this.revoked = true),
      full: () => (this.crowded = true),
      seats,
      session,
    })
  }

  /** The clock with the presses on it that the bench has not answered yet. */
  readonly clock: Clock = $derived.by(() => {
    const waiting = this.outbox.waiting.flatMap((batch) => batch.entries)
    if (!this.state) return { running: false, elapsed_ms: 0, wall_ms: 0, length_ms: 0, error_ms: 0 }
    return waiting.length === 0 ? this.state.clock : overlayClock(this.state, waiting)
  })

  /** What the clock says in this frame. */
  readonly reading: Reading = $derived.by(() =>
    this.#keep('reading', { ...readClock(this.clock, this.ticker.now), unknown: !this.sure }),
  )

  /** Where the game stands on the axis of play in this frame. */
  readonly now: Now = $derived.by(() => {
    if (!this.state) return this.#keep('now', { abs: 0, period: 1, end: 0, play: false })
    // The lanes need no more than twenty pictures a second; a clock that stands is exact.
    const { elapsed, running } = this.reading
    return this.#keep('now', playNow(this.state, running ? Math.floor(elapsed / lanesStep) * lanesStep : elapsed))
  })

  /** For how many whole seconds the bench was not heard; 0 while it is. */
  readonly silence: number = $derived.by(() => {
    if (this.stream.heard) return 0
    void this.ticker.counted
    return Math.max(1, Math.floor((performance.now() - this.stream.lastHeard) / 1000))
  })

  /** What is left of a time-out, or null. It ends when the clock is started. */
  readonly timeOut: number | null = $derived.by(() =>
    this.clock.running || !this.state?.time_out ? null : timeOutLeft(this.state.time_out, this.ticker.counted),
  )

  /** The delay with what its clock shows, or null. It ends when the clock is started. */
  readonly delay: { why: DelayWhy; ms: number; up: boolean } | null = $derived.by(() => {
    const delay = this.state?.delay
    if (!delay || (this.clock.running && !this.state?.bench.running_time)) return null
    return { why: delay.why, ...delayShows(delay, this.ticker.counted) }
  })

  /** Opens the stream, starts the frames and measures the offset; the result ends it all. */
  open(): () => void {
    const close = this.stream.open()
    const tabs = new Tabs(this.link.can.shares ? pagesChannel() : undefined)
    const leave = tabs.count()
    void tabs.room().then((room) => {
      if (room) return
      this.crowded = true
      leave()
      close()
    })
    const sleep = new SleepWatch()
    let watch: ReturnType<typeof setInterval> | undefined
    const look = () => {
      if (sleep.look(watch === undefined ? again : sleepLook)) this.#woke()
    }
    const measure = () => {
      look()
      void this.#measure()
    }
    // While the clock stands nothing goes wrong by a sleep until somebody does something, where the bench sleeps with the page.
    const rest = (on: boolean) => {
      look()
      clearInterval(watch)
      watch = on && this.link.near ? undefined : setInterval(look, sleepLook)
      this.stream.rest(on)
    }
    const wake = () => {
      if (document.visibilityState === 'visible') measure()
    }
    const still = $effect.root(() => {
      $effect(() => {
        const moves = this.clock.running
        untrack(() => {
          this.ticker.moves(moves)
          rest(!moves)
        })
      })
    })
    const stop = this.ticker.start()
    measure()
    const timer = setInterval(measure, again)
    document.addEventListener('visibilitychange', wake)
    for (const touch of touches) document.addEventListener(touch, look, true)
    void this.outbox.flush()
    return () => {
      leave()
      close()
      stop()
      still()
      clearInterval(timer)
      clearInterval(watch)
      document.removeEventListener('visibilitychange', wake)
      for (const touch of touches) document.removeEventListener(touch, look, true)
    }
  }

  /** Posts entries together. See Outbox.put for the promise; `saw` is the newest entry that they were made from. */
  post(entries: Entry[], saw = this.state?.seq ?? 0): Promise<void> {
    const own = entries.map((one) => (one.seat === 'solo' ? { ...one, seat: this.seat } : one))
    return this.outbox.put(own, saw)
  }

  /** Posts one entry of the moment. */
  enter<K extends Kind>(kind: K, body: Parameters<typeof draft<K>>[0]['body'], wall = this.time.now()): Promise<void> {
    return this.post([this.draft(kind, body, { wall })])
  }

  /** Makes a draft from this page's seat. */
  draft<K extends Kind>(kind: K, body: Parameters<typeof draft<K>>[0]['body'], more: { wall?: number; at?: At; of?: string } = {}): Entry {
    return draft({ game: this.id, kind, body, seat: this.seat, ...more, wall: more.wall ?? this.time.now() })
  }

  /** Asks the bench what entries would do. */
  async preview(entries: Entry[], signal: AbortSignal): Promise<Preview> {
    const from = this.state
    const { state, change, ...answer } = await this.api.preview(this.id, entries, this.#has(), signal)
    if (state) return { ...answer, state }
    if (!change || !follows(change, from)) throw new Unreachable('the bench answered for another state')
    return { ...answer, state: after(from, change) }
  }

  /** Starts or stops the clock at the instant of the event that asked for it. */
  pressClock(event: Event): void {
    const { state } = this
    if (!state || this.clock.length_ms === 0) return
    if (!this.sure) {
      // A bench in the page tells its time at once: the press that wakes the page counts.
      if (this.link.near) void this.#measure().then(() => this.sure && this.pressClock(event))
      return
    }
    const wall = this.time.of(event)
    if (Math.abs(wall - this.#pressed) < bounce) return
    const reading = readClock(this.clock, wall)
    if (reading.over) return
    this.#pressed = wall
    this.#cross(null)
    if (this.#turn && meantBefore(this.#turn, touchedAt(event, performance.now()))) return this.#cross(this.#turn.say)
    const body = { elapsed_ms: Math.round(reading.elapsed), error_ms: this.time.bound }
    if (body.error_ms === undefined) delete body.error_ms
    const press = this.draft(reading.running ? 'clock_stopped' : 'clock_started', body, { wall })
    this.#order(press, state.seq)
  }

  /** Posts a press on the clock. Where another device was first, that is said until the next press. */
  #order(press: Entry, saw: number): void {
    void this.outbox.offer([press], saw, (why: Refused) => {
      const said = why.refused.find((one) => one.say.key.startsWith('bench.crossed.'))
      if (!said) return false
      this.#cross(said.say)
      return true
    })
  }

  #cross(why: Say | null): void {
    clearTimeout(this.#said)
    this.crossed = why
    if (why) this.#said = setTimeout(() => (this.crossed = null), saidFor)
  }

  begin(next: NextStage): Promise<void> {
    this.#turn = null // whoever begins a stage has read what the clock did before, and may start it at once
    return this.enter('stage_begun', { stage: next.stage, length_ms: next.length_ms, running: next.running })
  }

  #measure(): Promise<void> {
    this.#measuring ??= this.time.measure().then(() => {
      this.#measuring = undefined
      if (this.time.measured) this.sure = true
    })
    return this.#measuring
  }

  /** After a sleep nothing about the time is known until the bench was heard. */
  #woke(): void {
    this.sure = false
    this.time.forget()
    this.stream.reopen()
    void this.#measure()
  }

  /** The value of the frame before where it says the same, so that nothing is drawn for it. */
  #keep<K extends keyof Kept>(name: K, value: Kept[K]): Kept[K] {
    const before: Kept[K] | undefined = this.#kept[name]
    if (before && alike(before, value)) return before
    this.#kept[name] = value
    return value
  }

  /** Which state this page has. */
  #has(): Has {
    return this.state && this.#run !== '' ? { have: this.state.seq, run: this.#run } : {}
  }

  #take({ state: whole, change, card, run = '', now_ms }: Snapshot, first = false): void {
    if (first && this.state) {
      // The bench may have been started again, and reads its clock anew then: what was
      // measured before no longer holds to the millisecond.
      this.time.forget()
      void this.#measure()
    }
    this.time.hint(now_ms)
    const seq = whole?.seq ?? change?.seq ?? 0
    // A bench that was restored from an older copy has fewer entries than this page has seen, or other ones.
    const another = first && run !== this.#run
    if (this.state && !another && (seq === this.state.seq || (seq < this.state.seq && !first))) return
    if (change && (run !== this.#run || !follows(change, this.state))) {
      this.stream.reopen() // the place is lost: a new stream begins with the whole
      return
    }
    const state = change && this.state ? after(this.state, change) : whole
    if (!state) return
    const { running } = this.clock
    const known = this.state !== null
    this.#run = run
    this.state = state
    if (known) painted(() => (this.listed = this.state))
    else this.listed = state
    this.card = card ?? null
    this.ticker.look()
    // Own presses are shown before the bench knows them: what turns the control now came from elsewhere.
    if (known && this.clock.running !== running) this.#turn = turnOf(state, this.clock.running, performance.now())
  }
}

/** Whether two plain values say the same, field by field. */
function alike<T extends object>(a: T, b: T): boolean {
  return (Object.keys(b) as (keyof T)[]).every((key) => a[key] === b[key])
}
