import { flushSync } from 'svelte'
import type { Code, Double, Line, Say, State } from '../../base/contract/contract'
import { painted } from '../../base/later/painted'
import { Refused } from '../../base/transport/api'
import type { LiveGame } from '../../game/live.svelte'
import type { Posting } from '../../game/posting.svelte'
import { doubleOf, joinDrafts } from '../doubles/merge'
import { type When, whenOf } from '../when/moment'
import { stopAt } from '../when/stops'
import { Asking } from './asking.svelte'
import { CallBuilder, type Ground } from './builder.svelte'
import { type Built, builtFrom } from './built'
import { byFrequency, countedGames, countGame, countsWithout } from './frequent'
import { type Vocabulary } from './grammar'
import { Previewer } from './previewer.svelte'
import { callsOf, teamsOf } from './vocabulary'

const patience = 250 // milliseconds that a posted call stands while the bench has not answered
const again = 5000 // milliseconds after which a preview is asked for again while the clock runs

/** A call that was posted and still stands as it was built: the answer is painted before it is cleared away. */
interface Going {
  saw: number // the newest entry when it was posted
  line: string // what was built, to tell whether it is still that
  end: AbortController
}

/** Composer is the call in the making: what was said so far, what it would do, and its way into the book. */
export class Composer {
  readonly game: LiveGame
  readonly builder = new CallBuilder()
  readonly previewer: Previewer
  readonly asking = new Asking()
  codes = $state.raw<Code[]>([])
  showWhy = $state(false)
  showWhen = $state(false)
  // Whoever waits looks again when the answer comes.
  #waiting = $state.raw<'' | 'asked' | 'sure'>('')
  #going = $state.raw<Going | null>(null)

  constructor(readonly posting: Posting) {
    this.game = posting.game
    this.previewer = new Previewer((entries, signal) => this.game.preview(entries, signal))
  }

  /** The calls of the game's book. */
  readonly calls: Vocabulary['calls'] = $derived.by(() => callsOf(this.codes, this.game.state))

  readonly #division: string = $derived.by(() => this.game.state?.division.id ?? '')

  /** The same, as buttons: what this division calls most stands first, and stays where it is for the whole game. */
  readonly offered: Vocabulary['calls'] = $derived.by(() =>
    byFrequency(this.calls, this.game.link.can.keeps ? countsWithout(countedGames(this.#division, localStorage), this.game.id) : {}))

  readonly words: Vocabulary = $derived.by(() => ({ calls: this.calls, teams: teamsOf(this.game.state) }))

  /** Something is built or is to be taken back, and not posted. */
  readonly active: boolean = $derived.by(() => this.builder.busy || this.builder.striking !== null)

  /** Whether what is entered counts from the first touch: the clock does not stand at a whistle. */
  readonly countsFromTouch: boolean = $derived.by(() => this.game.reading.running || (this.game.state?.bench.running_time ?? false))

  /** Asks for the calls of the books. */
  learn(): void {
    this.game.api.codes().then((codes) => (this.codes = codes)).catch(() => undefined)
  }

  /** Counts the calls of this game for the next ones of its division. Called whenever the game has changed. */
  count(): void {
    const { state, link, id } = this.game
    if (state && link.can.keeps) painted(() => countGame(state.division.id, id, state.lines, localStorage))
  }

  /** Called in every frame. */
  look(): void {
    const { builder, game: { state } } = this
    if (!state) return
    builder.emptyNets = state.teams.filter((team) => team.net_empty).map((team) => team.side)
    this.#mark()
    if (!builder.amending && !builder.striking) builder.saw = 0
    else builder.saw ||= state.seq
  }

  /** Keeps where the running clock was when a call was begun. */
  #mark(): void {
    const { builder, game } = this
    if (!builder.busy) {
      builder.began = null
      this.showWhen = false
    } else if (!builder.began && game.reading.running && game.now.play) {
      builder.began = { period: game.now.period, elapsed_ms: Math.round(game.reading.elapsed) }
    }
  }

  /** Counts on while the clock runs. */
  readonly tick: number = $derived.by(() =>
    this.game.reading.running ? Math.floor(this.game.reading.elapsed / again) : 0,
  )

  /** Asks for the consequences of what is built now, and posts what waited for them. Called whenever that may have changed. */
  consider(): void {
    this.game.link.drafting?.(this.active)
    const { state } = this.game
    if (!state) return
    const { builder } = this
    if (this.#going) {
      if (state.seq > this.#going.saw) painted(() => this.#clear())
      return
    }
    const key = JSON.stringify([
      builder.current, builder.collected, builder.at, builder.atPeriod, builder.amending?.entry,
      builder.striking?.entry, builder.picked, builder.orders, state.seq,
      // What is built while the clock runs gets other times every moment.
      this.tick,
    ])
    const drafts = builder.ready ? builder.drafts(this.#ground(state), this.game.time.now()) : []
    this.previewer.consider(drafts, drafts.length === 0 ? '' : key)
    if (this.#waiting !== '' && !this.previewer.asking) {
      const sure = this.#waiting === 'sure'
      this.#waiting = ''
      this.post(sure)
    }
  }

  /** The game as it would be with what is built; null while that is not known. */
  readonly considered: State | null = $derived.by(() => this.previewer.answer?.state ?? null)

  /** When what is built happened, while that is being said; null otherwise. */
  readonly when: When | null = $derived.by(() => {
    const { builder, game: { state, reading } } = this
    if (!this.showWhen || !state || !builder.busy || builder.striking) return null
    return whenOf(state, builder, Math.floor(reading.elapsed / 1000) * 1000)
  })

  readonly refusals: Say[] = $derived.by(() =>
    (this.previewer.answer?.refused ?? []).map((one) => one.say),
  )

  /** What is built looks like an entry that another seat has made already; null: like none. */
  readonly double: Double | null = $derived.by(() => {
    const { state } = this.game
    const { answer } = this.previewer
    if (!state || !answer || this.builder.amending || this.builder.striking) return null
    return doubleOf(answer.state.book.doubles, (entry) => state.lines.some((line) => line.entry === entry))
  })

  /** Puts what is built into the entry that is there already. */
  join(double: Double): void {
    void this.game.outbox.offer(joinDrafts(this.game, double), this.game.state?.seq)
    this.builder.clear()
  }

  readonly canPost: boolean = $derived.by(
    () =>
      this.builder.ready && this.builder.unknown.length === 0 && this.refusals.length === 0 &&
      (this.previewer.trouble === '' || this.previewer.trouble === 'lost'),
  )

  /**
   * Posts what is built. The screen is free for the next call at once; a refusal
   * brings it back. What the ledger seems to have already is asked about first,
   * and comes here again as `sure`.
   */
  post(sure = false): void {
    const { state } = this.game
    const { builder } = this
    this.#clear()
    if (!state || !this.canPost) return
    if (this.previewer.asking && this.game.stream.heard) {
      this.#waiting = sure ? 'sure' : 'asked'
      return
    }
    const drafts = builder.drafts(this.#ground(state), this.game.time.now())
    if (drafts.length === 0) return
    if (!sure && !builder.amending && !builder.striking && !this.double && this.asking.again(this.game, drafts, this.considered)) return
    const posted = this.game.post(drafts, builder.saw || state.seq) // first: the bench is at work beside the rest
    const kept = builder.amending || builder.striking
      ? []
      : [...builder.collected, ...(builder.missing === null ? [builder.current] : [])].map(
          (built) => $state.snapshot(built) as Built,
        )
    const { at, atPeriod } = builder
    this.#go(state.seq)
    posted.catch((reason: unknown) => {
      // Whoever was first is shown beside what was entered here.
      this.#clear()
      if (reason instanceof Refused && reason.stale) return
      this.posting.refused(reason)
      builder.collected = [...kept, ...builder.collected]
      if (kept.length > 0) builder.setAt(at, atPeriod)
    })
  }

  /**
   * What was posted is cleared away when the answer has been painted, and at once when somebody goes on:
   * two pictures one after the other would make the first one late.
   */
  #go(saw: number): void {
    const end = new AbortController()
    this.#going = { saw, line: this.#line(), end }
    setTimeout(() => this.#clear(end), patience)
    const now = () => flushSync(() => this.#clear(end))
    for (const kind of ['keydown', 'pointerdown', 'beforeinput']) addEventListener(kind, now, { capture: true, signal: end.signal })
    // A line that is written anew without a key is the next call already.
    addEventListener('input', () => this.#clear(end, true), { capture: true, signal: end.signal })
  }

  #line(): string {
    const { line, current, collected, amending, striking } = this.builder
    return JSON.stringify([line, current, collected, amending?.entry, striking?.entry])
  }

  /** Clears away what was posted, unless it is another call by now. */
  #clear(which = this.#going?.end, another = false): void {
    const going = this.#going
    if (!going || going.end !== which) return
    going.end.abort()
    this.#going = null
    if (another || going.line !== this.#line()) return
    this.builder.clear()
    this.posting.message = ''
    this.showWhy = false
    this.showWhen = false
  }

  #ground(state: State): Ground {
    return { game: state.game, division: state.division, periods: state.periods, runs: this.countsFromTouch, stopAt: (period, left) => stopAt(state, period, left)?.at ?? null }
  }

  /** Opens the line that something is owed for, to be filled in. */
  fillIn(entryId: string): void {
    const line = this.fillable(entryId)
    if (line) this.builder.amend(line)
  }

  /** The line of an entry, if it can be built again. */
  fillable(entryId: string): Line | null {
    const line = this.game.state?.lines.find((one) => one.entry === entryId)
    return line && builtFrom(line) ? line : null
  }
}
