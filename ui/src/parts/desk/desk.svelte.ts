import type { BenchSetBody, Code, Double, Entry, Line, NextStage, Question, RinkCard, RosterTeam, Say, Side, State } from '../../base/contract/contract'
import { cardAsks } from '../card/steps'
import { Ticks } from '../card/ticks.svelte'
import { type Alert, alertOf } from '../alert/alerts'
import { CallBuilder, type Ground } from '../call/builder.svelte'
import { type Built, builtFrom } from '../call/built'
import { type Vocabulary } from '../call/grammar'
import { resumeBuilt } from '../call/resume'
import { callsOf, teamsOf } from '../call/vocabulary'
import { Previewer } from '../call/previewer.svelte'
import { keepCopyLater } from '../../game/copies/later'
import type { Mirror } from '../../game/copies/mirror.svelte'
import { doubleOf, joinDrafts } from '../doubles/merge'
import { EndWatch, TurnWatch } from '../../game/end'
import { LiveGame } from '../../game/live.svelte'
import { draft } from '../../base/transport/draft'
import { api, Refused } from '../../base/transport/api'
import type { SeatList } from '../../base/transport/seats'
import { way } from '../../base/transport/way'
import { BenchSeats } from '../seats/seats.svelte'
import { SlotWatch } from '../slot/watch.svelte'
import { Chime } from '../../base/sound/chime.svelte'
import { Horn } from '../../base/sound/horn.svelte'
import { type When, whenOf } from '../when/moment'
import { stopAt } from '../when/stops'
import { delayWords } from '../../base/words/game'
import { benchWith } from '../manner/bench'
import { say, t } from '../../base/words/words'
import { type Row, withActs } from '../whistle/acts'
import { Asking } from '../whistle/asking.svelte'
import { bookHolds, bookLooks, bookOwes, type HoldItem, localHolds, type Missing } from '../whistle/ready'

const endHorn = 2500 // milliseconds that the horn sounds when a clock has run out
const again = 5000 // milliseconds after which a preview is asked for again while the clock runs
const turnHorn = 1200 // milliseconds that it sounds to change players, where a division has that

/** A kind of entry with what it says. */
type Said = Parameters<LiveGame['say']>

/** Desk is the bench screen without its looks: one game, one call in the making, one horn. */
export class Desk {
  readonly game: LiveGame
  readonly builder = new CallBuilder()
  readonly previewer: Previewer
  readonly horn: Horn
  readonly chime = new Chime()
  readonly ticks: Ticks
  readonly slot: SlotWatch
  readonly seats: BenchSeats
  /** The second copy of the ledger in this browser; null until it was read back. */
  copy = $state.raw<Mirror | null>(null)
  codes = $state.raw<Code[]>([])
  /** What the bench refused, or another thing to be read. */
  message = $state('')
  showHelp = $state(false)
  showRosters = $state(false)
  showWhy = $state(false)
  showWhen = $state(false)
  /** The row of the lanes whose reasons are shown. */
  whyRow = $state('')
  showWork = $state(false)
  settingClock = $state(false)
  /** The field for the time on the rink's board is in use. */
  readingBoard = $state(false)
  readonly asking = new Asking()
  #ends = new EndWatch()
  #turns = new TurnWatch()
  #waiting: '' | 'asked' | 'sure' = ''
  #alerted = ''

  /** `game` where a seat's page has it open already. */
  constructor(id: string, game?: LiveGame) {
    this.seats = new BenchSeats(id)
    this.game = game ?? new LiveGame(id, { seats: (list) => this.seats.take(list as SeatList) })
    this.horn = new Horn(id)
    this.slot = new SlotWatch(this.game, (change) => this.workAs(change))
    this.ticks = new Ticks(this.game, (reason) => this.#refused(reason))
    this.previewer = new Previewer((entries, signal) => this.game.preview(entries, signal))
  }

  /** The calls of the game's book. */
  readonly calls: Vocabulary['calls'] = $derived.by(() => callsOf(this.codes, this.game.state))

  readonly words: Vocabulary = $derived.by(() => ({ calls: this.calls, teams: teamsOf(this.game.state) }))

  /** What stands in the way of the puck drop: the book's items, then what only this page knows. */
  readonly holds: HoldItem[] = $derived.by(() => {
    const { state } = this.game
    if (!state) return []
    return [
      ...localHolds({
        timeOut: this.#timeOut, delay: this.delayText,
        unposted: this.builder.busy, striking: this.builder.striking !== null, postable: this.canPost,
        lost: !this.game.stream.heard, unsent: this.game.outbox.waiting.length,
      }),
      ...bookHolds(state),
      ...this.#board.filter((item) => item.weight === 'hold'),
    ]
  })

  /** What is asked and holds nobody. */
  readonly looks: HoldItem[] = $derived.by(() => {
    const { state } = this.game
    return state ? [...this.#board.filter((item) => item.weight === 'look'), ...bookLooks(state, this.#whistle)] : []
  })

  /** What the rink card asks, while the clock stands. */
  readonly #board: HoldItem[] = $derived.by(() => {
    const { state, card, reading } = this.game
    if (!state || reading.running) return []
    return cardAsks(card, this.ticks.steps, [state.teams[0].name, state.teams[1].name])
  })

  /** Where play stands, in whole seconds, as milliseconds. */
  readonly #whistle: number = $derived.by(() => Math.floor(this.game.now.abs / 1000) * 1000)

  /** What is owed to the book; play may go on. */
  readonly owes: HoldItem[] = $derived.by(() => {
    const { state } = this.game
    return state ? bookOwes(state, (entry) => this.#fillable(entry) !== null) : []
  })

  /** All of it, each with what can be done about it: what holds first, what is owed last. */
  readonly rows: Row[] = $derived.by(() => withActs([...this.holds, ...this.looks, ...this.owes], this))

  /** The delay in words with its clock, or null: new words once a second, not with every frame. */
  readonly delayText: string | null = $derived.by(() => this.game.delay && delayWords(this.game.delay))

  /** What is left of a time-out in whole seconds, as milliseconds; null when there is none. */
  readonly #timeOut: number | null = $derived.by(() => {
    const { timeOut } = this.game
    return timeOut === null ? null : Math.ceil(timeOut / 1000) * 1000
  })

  /** The one thing that somebody must do at once, or null. */
  readonly alert: Alert | null = $derived.by(() => {
    const { state, now, reading } = this.game
    return state && alertOf(state, now, reading)
  })

  /** Whether the board is official and its time is typed instead of the clock being run. */
  readonly follows: boolean = $derived.by(() => this.game.state?.bench.clock === 'follow' && this.game.now.play)

  /** Whether whistles leave the clock alone now. */
  readonly runsOn: boolean = $derived.by(() => (this.game.state?.bench.running_time ?? false) && this.game.reading.running && this.game.now.play)

  /** Whether what is entered counts from the first touch: the clock does not stand at a whistle. */
  readonly countsFromTouch: boolean = $derived.by(() => this.game.reading.running || (this.game.state?.bench.running_time ?? false))

  /** Whether reasons to hold matter now: play stands, or runs on by the clock only. */
  readonly asks: boolean = $derived.by(() => !(this.game.reading.running && this.game.now.play) || (this.runsOn && this.holds.length + this.looks.length > 0))

  readonly questions: Question[] = $derived.by(() =>
    (this.game.state?.asked ?? []).filter((one) => one.open),
  )

  open(): () => void {
    const close = this.game.open()
    resumeBuilt(this.game.id, this.builder)
    const later = setTimeout(() => this.horn.prepare(), 400)
    if (!way.inside) void this.seats.load()
    const stop = keepCopyLater(this.game, 1500, (mirror) => (this.copy = mirror))
    this.learn()
    return () => {
      close()
      clearTimeout(later)
      stop()
      this.horn.release()
    }
  }

  /** Asks for the calls of the books. */
  learn(): void {
    api.codes().then((codes) => (this.codes = codes)).catch(() => undefined)
  }

  /** Called in every frame: the horn at zero, and a post that waited for its preview. */
  look(): void {
    const { state, reading } = this.game
    if (!state) return
    const { kind, number = 0 } = state.stage
    if (this.#ends.look(`${kind}${number}`, reading.running, reading.over)) this.horn.press(endHorn)
    const every = state.division.clock?.horn_every_ms ?? 0
    this.builder.emptyNets = state.teams.filter((team) => team.net_empty).map((team) => team.side)
    this.#mark()
    if (!this.builder.amending && !this.builder.striking) this.builder.saw = 0
    else this.builder.saw ||= state.seq
    const key = this.alert?.key ?? ''
    if (key !== this.#alerted && key !== '') this.chime.sound()
    this.#alerted = key
    if (every > 0 && this.#turns.look(every, this.game.now, reading)) this.horn.press(turnHorn)
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

  /** Asks for the consequences of what is built now. Called whenever that may have changed. */
  consider(): void {
    const { state } = this.game
    if (!state) return
    const { builder } = this
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
    if (!state || !this.canPost) return
    if (this.previewer.asking && this.game.stream.heard) {
      this.#waiting = sure ? 'sure' : 'asked'
      return
    }
    const drafts = builder.drafts(this.#ground(state), this.game.time.now())
    if (drafts.length === 0) return
    if (!sure && !builder.amending && !builder.striking && !this.double && this.asking.again(this.game, drafts, this.considered)) return
    const kept = builder.amending || builder.striking
      ? []
      : [...builder.collected, ...(builder.missing === null ? [builder.current] : [])].map(
          (built) => $state.snapshot(built) as Built,
        )
    const { at, atPeriod } = builder
    const saw = builder.saw || state.seq
    builder.clear()
    this.message = ''
    this.showWhy = false
    this.showWhen = false
    this.game.post(drafts, saw).catch((reason: unknown) => {
      // Whoever was first is shown beside what was entered here.
      if (reason instanceof Refused && reason.stale) return
      this.#refused(reason)
      builder.collected = [...kept, ...builder.collected]
      if (kept.length > 0) builder.setAt(at, atPeriod)
    })
  }

  #ground(state: State): Ground {
    return { game: state.game, division: state.division, periods: state.periods, runs: this.countsFromTouch, stopAt: (period, left) => stopAt(state, period, left)?.at ?? null }
  }

  /** Goes a step further. One out of its order is asked about first, and comes here again as `sure`. */
  begin(next: NextStage, sure = false): void {
    if (sure || !this.asking.step(this.game, next)) this.game.begin(next).catch((reason: unknown) => this.#refused(reason))
  }

  setAside(key: string): void { this.say('set_aside', { item: key }) }

  /** Settles a row: posts what the book says, or does what it takes here. */
  settle({ yes, local }: HoldItem): void {
    if (local === 'post') this.post()
    else if (local === 'delay' || local === 'time_out') this.say('delay_over', {})
    else if (local === 'rosters') this.showRosters = true
    else if (local === 'agrees') this.ticks.agrees()
    if (yes?.settle_kind && yes.settle) this.say(yes.settle_kind, yes.settle as Said[1])
  }

  /** The rink's board was looked at and reads as it should: every step is done. */
  settleAll(): void {
    this.ticks.agrees()
  }

  answer(question: Question, picks: string[]): void {
    this.game.say('choice', { question: question.id, picks }).catch((reason: unknown) => this.#refused(reason))
  }

  /** The drafts of a correction, and with `moves` of what was entered at the whistle. `left` in milliseconds. */
  clockDrafts(left: number, moves: boolean): Entry[] {
    const body = { elapsed_ms: Math.max(0, Math.round(this.game.clock.length_ms - left)), ...(moves ? { moves } : {}) }
    return [draft({ game: this.game.id, kind: 'clock_set', body, wall: this.game.time.now() })]
  }

  setClock(drafts: Entry[]): void {
    this.settingClock = false
    this.game.post(drafts).catch((reason: unknown) => this.#refused(reason))
  }

  /** The start and stop control, or what stands in its place. */
  pressClock(event: Event): void {
    if (this.follows) this.readingBoard = true
    else if (this.runsOn) this.message = t('clock.running_time.goes_on')
    else this.game.pressClock(event)
  }

  /** Stops the clock of running time, which no whistle does. */
  stopRunning(event: Event): void { this.game.pressClock(event) }

  /** Takes the time that the rink's board shows, in milliseconds left. */
  readBoard(left: number): void {
    this.readingBoard = false
    this.say('board_read', { elapsed_ms: Math.max(0, this.game.clock.length_ms - left) })
  }

  /** Takes a rink card into use; null puts it away. */
  useCard(card: RinkCard | null): void { this.say('card_set', { card }) }

  /** Changes how the bench works. */
  workAs(change: Partial<BenchSetBody>): void {
    this.showWork = false
    const bench = this.game.state?.bench
    if (bench) this.say('bench_set', benchWith(bench, change))
  }

  runningTime(on: boolean): void { this.say('running_time', { on }) }

  /** Opens the line that something is owed for, to be filled in. */
  fillIn(entryId: string): void {
    const line = this.#fillable(entryId)
    if (line) this.builder.amend(line)
  }

  #fillable(entryId: string): Line | null {
    const line = this.game.state?.lines.find((one) => one.entry === entryId)
    return line && builtFrom(line) ? line : null
  }

  /** Adds a player to a roster, with the number only. */
  addMissing({ side, number }: Missing): void {
    const team = this.game.state?.teams.find((one) => one.side === side)
    if (team) this.setRoster(side, { name: team.name, players: [...team.players, { number }], staff: team.staff })
  }

  setRoster(side: Side, team: RosterTeam): void { this.say('roster_set', { side, team }) }

  /** Posts one entry of the moment; a refusal is shown. */
  say(...[kind, body]: Said): void {
    this.game.say(kind, body).catch((reason: unknown) => this.#refused(reason))
  }

  #refused(reason: unknown): void {
    this.message = reason instanceof Refused
      ? [reason.message, ...reason.refused.map((one) => say(one.say))].filter((text, i, all) => all.indexOf(text) === i).join(' ')
      : t('post.failed')
  }
}
