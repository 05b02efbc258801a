import type { Code, Item, Line, NextStage, Question, RosterTeam, Say, Side, State } from '../../contract/contract'
import { CallBuilder, type Ground } from '../../call/builder.svelte'
import { type Built, builtFrom } from '../../call/built'
import { type Vocabulary } from '../../call/grammar'
import { Previewer } from '../../call/previewer.svelte'
import { EndWatch, TurnWatch } from '../../game/end'
import { LiveGame } from '../../game/live.svelte'
import { api, Refused } from '../../link/api'
import { Horn } from '../../sound/horn.svelte'
import { callName, say, t } from '../../words/words'
import { bookHolds, type HoldItem, localHolds } from './ready'

const endHorn = 2500 // milliseconds that the horn sounds when a clock has run out
const again = 5000 // milliseconds after which a preview is asked for again while the clock runs
const turnHorn = 1200 // milliseconds that it sounds to change players, where a division has that

/** Desk is the bench screen without its looks: one game, one call in the making, one horn. */
export class Desk {
  readonly game: LiveGame
  readonly builder = new CallBuilder()
  readonly previewer: Previewer
  readonly horn: Horn
  codes = $state.raw<Code[]>([])
  /** What the bench refused, or another thing to be read. */
  message = $state('')
  showHelp = $state(false)
  showRosters = $state(false)
  showWhy = $state(false)
  settingClock = $state(false)
  #ends = new EndWatch()
  #turns = new TurnWatch()
  #waiting = false

  constructor(id: string) {
    this.game = new LiveGame(id)
    this.horn = new Horn(id)
    this.previewer = new Previewer((entries, signal) => api.preview(id, entries, signal))
  }

  /** The calls of the game's book. */
  readonly calls: Vocabulary['calls'] = $derived.by(() => {
    const book = this.game.state?.info.code
    const code = this.codes.find((one) => one.id === book) ?? this.codes[0]
    return (code?.calls ?? []).map((call) => ({ ...call, name: callName(call.id) }))
  })

  readonly words: Vocabulary = $derived.by(() => ({
    calls: this.calls,
    teams: (this.game.state?.teams ?? []).map((team) => ({
      side: team.side,
      name: team.name,
      numbers: team.players.map((player) => player.number),
    })),
  }))

  /** What stands in the way of the puck drop: the book's items, then what only this page knows. */
  readonly holds: HoldItem[] = $derived.by(() => {
    const { state, timeOut } = this.game
    if (!state) return []
    return [
      ...localHolds({
        timeOut, unposted: this.builder.busy, lost: !this.game.stream.heard, unsent: this.game.outbox.waiting.length,
      }),
      ...bookHolds(state),
    ]
  })

  readonly questions: Question[] = $derived.by(() =>
    (this.game.state?.asked ?? []).filter((one) => one.open),
  )

  /** The newest act that can be taken back, or null. */
  readonly newest: Line | null = $derived.by(() => {
    const lines = this.game.state?.lines ?? []
    for (let i = lines.length - 1; i >= 0; i--) {
      const line = lines[i]
      if (line && !line.struck && strikable(line)) return line
    }
    return null
  })

  open(): () => void {
    const close = this.game.open()
    const later = setTimeout(() => this.horn.prepare(), 400)
    api.codes().then((codes) => (this.codes = codes)).catch(() => undefined)
    return () => {
      close()
      clearTimeout(later)
      this.horn.release()
    }
  }

  /** Called in every frame: the horn at zero, and a post that waited for its preview. */
  look(): void {
    const { state, reading } = this.game
    if (!state) return
    const { kind, number = 0 } = state.stage
    if (this.#ends.look(`${kind}${number}`, reading.running, reading.over)) this.horn.press(endHorn)
    const every = state.division.clock?.horn_every_ms ?? 0
    if (every > 0 && this.#turns.look(every, this.game.now, reading)) this.horn.press(turnHorn)
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
      builder.striking?.entry, state.seq,
      // What is built while the clock runs gets other times every moment.
      this.tick,
    ])
    const drafts = builder.ready ? builder.drafts(this.#ground(state), this.game.time.now()) : []
    this.previewer.consider(drafts, drafts.length === 0 ? '' : key)
    if (this.#waiting && !this.previewer.asking) {
      this.#waiting = false
      this.post()
    }
  }

  readonly refusals: Say[] = $derived.by(() =>
    (this.previewer.answer?.refused ?? []).map((one) => one.say),
  )

  readonly canPost: boolean = $derived.by(
    () =>
      this.builder.ready && this.builder.unknown.length === 0 && this.refusals.length === 0 &&
      (this.previewer.trouble === '' || this.previewer.trouble === 'lost'),
  )

  /** Posts what is built. The screen is free for the next call at once; a refusal brings it back. */
  post(): void {
    const { state } = this.game
    const { builder } = this
    if (!state || !this.canPost) return
    if (this.previewer.asking && this.game.stream.heard) {
      this.#waiting = true
      return
    }
    const drafts = builder.drafts(this.#ground(state), this.game.time.now())
    if (drafts.length === 0) return
    const kept = builder.amending || builder.striking
      ? []
      : [...builder.collected, ...(builder.missing === null ? [builder.current] : [])].map(
          (built) => $state.snapshot(built) as Built,
        )
    builder.clear()
    this.message = ''
    this.showWhy = false
    this.game.post(drafts).catch((reason: unknown) => {
      this.#refused(reason)
      builder.collected = [...kept, ...builder.collected]
    })
  }

  #ground(state: State): Ground {
    return { game: state.game, division: state.division, periods: state.periods }
  }

  begin(next: NextStage): void {
    this.game.begin(next).catch((reason: unknown) => this.#refused(reason))
  }

  setAside(key: string): void {
    this.game.say('set_aside', { item: key }).catch((reason: unknown) => this.#refused(reason))
  }

  /** Posts what the book says settles a reason to hold. */
  settle(item: Item): void {
    if (!item.settle_kind || !item.settle) return
    const body = item.settle as Parameters<typeof this.game.say>[1]
    this.game.say(item.settle_kind, body).catch((reason: unknown) => this.#refused(reason))
  }

  answer(question: Question, picks: string[]): void {
    this.game.say('choice', { question: question.id, picks }).catch((reason: unknown) => this.#refused(reason))
  }

  setClock(left: number): void {
    this.settingClock = false
    this.game.setClock(left).catch((reason: unknown) => this.#refused(reason))
  }

  /** Opens the line that something is owed for, to be filled in. */
  fillIn(entryId: string | undefined): void {
    const line = this.game.state?.lines.find((one) => one.entry === entryId)
    if (line && builtFrom(line)) this.builder.amend(line)
  }

  /** The player whom something owed says is missing from a roster, or null. */
  missingPlayer(item: Item): { side: Side; number: string } | null {
    const [kind, number = ''] = item.key.split('/')
    const line = this.game.state?.lines.find((one) => one.entry === item.entry)
    if (kind !== 'roster' || !line || (line.kind !== 'goal' && line.kind !== 'penalty')) return null
    return { side: line.body.side, number }
  }

  /** Adds a player to a roster, with the number only. */
  addPlayer(side: Side, number: string): void {
    const team = this.game.state?.teams.find((one) => one.side === side)
    if (team) this.setRoster(side, { name: team.name, players: [...team.players, { number }] })
  }

  setRoster(side: Side, team: RosterTeam): void {
    this.game.say('roster_set', { side, team }).catch((reason: unknown) => this.#refused(reason))
  }

  /** Forgets a refusal that came after the page was closed in between. */
  dismiss(key: string): void {
    this.game.outbox.dismiss(key)
  }

  #refused(reason: unknown): void {
    this.message = reason instanceof Refused
      ? [reason.message, ...reason.refused.map((one) => say(one.say))].filter((text, i, all) => all.indexOf(text) === i).join(' ')
      : t('post.failed')
  }
}

/** Whether a line can be struck with a tap: what people decided, not the clock's own course. */
export function strikable(line: Line): boolean {
  return !['game_opened', 'roster_set', 'clock_started', 'clock_stopped'].includes(line.kind)
}
