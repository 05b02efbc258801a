import type { NextStage, Question, RosterTeam, Side } from '../../base/contract/contract'
import { Chime } from '../../base/sound/chime.svelte'
import type { LiveGame } from '../../game/live.svelte'
import type { Posting } from '../../game/posting.svelte'
import { type Alert, alertOf } from '../alert/alerts'
import type { Composer } from '../call/composer.svelte'
import { cardAsks } from '../card/steps'
import { Ticks } from '../card/ticks.svelte'
import type { BenchClock } from '../clock/bench-clock.svelte'
import { type Row, withActs } from './acts'
import { bookHolds, bookLooks, bookOwes, type HoldItem, localHolds, type Missing } from './ready'

/** Whistle is what a stoppage asks: what holds the puck, what is asked and owed, and how each is settled. */
export class Whistle {
  readonly game: LiveGame
  readonly ticks: Ticks
  readonly chime = new Chime()
  #alerted = ''

  /** `rosters` opens the rosters, where something is missing in them. */
  constructor(
    private readonly posting: Posting,
    private readonly composer: Composer,
    private readonly clock: BenchClock,
    private readonly rosters: () => void = () => undefined,
  ) {
    this.game = posting.game
    this.ticks = new Ticks(this.game, posting.refused)
  }

  /** What stands in the way of the puck drop: the book's items, then what only this page knows. */
  readonly holds: HoldItem[] = $derived.by(() => {
    const { composer: { builder, canPost }, clock, game: { state, stream, outbox } } = this
    if (!state) return []
    return [
      ...localHolds({
        timeOut: clock.timeOut, delay: clock.delayText,
        unposted: builder.busy, striking: builder.striking !== null, postable: canPost,
        lost: !stream.heard, unsent: outbox.waiting.length,
      }),
      ...bookHolds(state),
      ...this.#board.filter((item) => item.weight === 'hold'),
    ]
  })

  /** What is asked and holds nobody. */
  readonly looks: HoldItem[] = $derived.by(() => {
    const { state } = this.game
    return state ? [...this.#board.filter((item) => item.weight === 'look'), ...bookLooks(state, this.#at)] : []
  })

  /** What the rink card asks, while the clock stands. */
  readonly #board: HoldItem[] = $derived.by(() => {
    const { state, card, reading } = this.game
    if (!state || reading.running) return []
    return cardAsks(card, this.ticks.steps, [state.teams[0].name, state.teams[1].name])
  })

  /** Where play stands, in whole seconds, as milliseconds. */
  readonly #at: number = $derived.by(() => Math.floor(this.game.now.abs / 1000) * 1000)

  /** What is owed to the book; play may go on. */
  readonly owes: HoldItem[] = $derived.by(() => {
    const { state } = this.game
    return state ? bookOwes(state, (entry) => this.composer.fillable(entry) !== null) : []
  })

  /** All of it, each with what can be done about it: what holds first, what is owed last. */
  readonly rows: Row[] = $derived.by(() => withActs([...this.holds, ...this.looks, ...this.owes], this))

  /** The one thing that somebody must do at once, or null. */
  readonly alert: Alert | null = $derived.by(() => {
    const { state, now, reading } = this.game
    return state && alertOf(state, now, reading)
  })

  /** Called in every frame: the sound of an alert that has just come. */
  look(): void {
    const key = this.alert?.key ?? ''
    if (key !== this.#alerted && key !== '') this.chime.sound()
    this.#alerted = key
  }

  /** Whether reasons to hold matter now: play stands, or runs on by the clock only. */
  readonly asks: boolean = $derived.by(() => !(this.game.reading.running && this.game.now.play) || (this.clock.runsOn && this.holds.length + this.looks.length > 0))

  readonly questions: Question[] = $derived.by(() =>
    (this.game.state?.asked ?? []).filter((one) => one.open),
  )

  /** Goes a step further. One out of its order is asked about first, and comes here again as `sure`. */
  begin(next: NextStage, sure = false): void {
    if (sure || !this.composer.asking.step(this.game, next)) this.game.begin(next).catch(this.posting.refused)
  }

  /** Settles a row: posts what the book says, or does what it takes here. */
  settle({ yes, local }: HoldItem): void {
    if (local === 'post') this.composer.post()
    else if (local === 'delay' || local === 'time_out') this.posting.enter('delay_over', {})
    else if (local === 'rosters') this.rosters()
    else if (local === 'agrees') this.ticks.agrees()
    if (yes?.settle_kind && yes.settle) this.posting.enter(yes.settle_kind, yes.settle as Parameters<LiveGame['enter']>[1])
  }

  /** The rink's board was looked at and reads as it should: every step is done. */
  settleAll(): void { this.ticks.agrees() }

  setAside(key: string): void { this.posting.enter('set_aside', { item: key }) }

  fillIn(entry: string): void { this.composer.fillIn(entry) }

  answer(question: Question, picks: string[]): void { this.posting.enter('choice', { question: question.id, picks }) }

  /** Adds a player to a roster, with the number only. */
  addMissing({ side, number }: Missing): void {
    const team = this.game.state?.teams.find((one) => one.side === side)
    if (team) this.setRoster(side, { name: team.name, players: [...team.players, { number }], staff: team.staff })
  }

  setRoster(side: Side, team: RosterTeam): void { this.posting.enter('roster_set', { side, team }) }
}
