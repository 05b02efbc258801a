import type { AmendedBody, At, Division, Entry, Line, Part, PeriodSpan, Side } from '../../base/contract/contract'
import { leftText, parseClock } from '../../base/words/format'
import { draft } from '../../base/transport/draft'
import {
  type Base, type Built, type BuiltKind, type Extra, baseAndExtras, bench, bodyOf, builtFrom,
  emptyBuilt, missingOf, owed,
} from './built'
import type { Kept } from './kept'
import { type Vocabulary, type Completion, parseLine } from './grammar'

/** Which number of a goal the next tap fills. */
export type Slot = 'who' | 0 | 1

/** What the builder needs to know of the game. */
export interface Ground {
  game: string
  division: Division
  periods: PeriodSpan[]
  /** The moment that a time on the clock means, where play stood at it: to the millisecond. */
  stopAt?: (period: number, left: number) => At | null
  /** The clock runs on: what is entered counts from when it was begun, not from when it is posted. */
  runs?: boolean
}

/**
 * CallBuilder is the call that is being built, those of the same stoppage that
 * were collected before it, and the line of the ledger that is amended or
 * struck, if one is. Touch and the command line fill the same answers.
 */
export class CallBuilder {
  current = $state<Built>(emptyBuilt())
  collected = $state<Built[]>([])
  slot = $state<Slot>('who')
  amending = $state.raw<Line | null>(null)
  striking = $state.raw<Line | null>(null)
  /** Number of the newest entry when the change or strike was begun; 0: none is. */
  saw = $state(0)
  at = $state('') // as typed, time left on the clock; empty: now
  atPeriod = $state(0) // the period that `at` is in; 0: the one that is played
  picked = $state.raw<At | null>(null) // the stop that `at` was picked from, while its time reads the same
  /** Numbers that order the goals or calls of one whistle, by their entries; '' is what is built. */
  orders = $state.raw<Record<string, number>>({})
  others = $state.raw<Line[]>([]) // the lines of the same whistle that are ordered with it
  line = $state('') // the command line
  unknown = $state<string[]>([])
  completions = $state<Completion[]>([])
  /** Where the running clock was when the first answer was given. */
  began = $state.raw<At | null>(null)
  /** When the command line was typed into last, in the page's own time: its keys are not anybody else's then. */
  typedAt = Number.NEGATIVE_INFINITY
  /** Calls were typed and are kept, and the next one belongs to them. */
  amid = false
  /** The sides whose net is empty: a goal against one of them is into it, unless somebody says no. */
  emptyNets: Side[] = []

  /** Whether anything is built that is not posted. */
  get busy(): boolean {
    return this.current.kind !== '' || this.collected.length > 0
  }

  /** What is missing before the current call can be posted. */
  get missing() {
    return missingOf(this.current)
  }

  /** Whether a press on "Post" has anything to post. */
  get ready(): boolean {
    if (this.striking) return true
    if (this.at !== '' && parseClock(this.at) === null) return false
    return this.missing === null || (this.current.kind === '' && this.collected.length > 0)
  }

  setKind(kind: BuiltKind): void {
    const { side } = this.current
    this.#touched()
    if (this.current.kind === kind) return
    const keeps = kind === 'goal' || kind === 'penalty' ? (side === 'officials' ? '' : side) : kind === 'time_out' ? side : ''
    this.current = emptyBuilt(kind, keeps)
    this.slot = 'who'
    this.#intoEmptyNet()
  }

  setSide(side: Built['side']): void {
    this.#touched()
    if (this.current.side === side) return
    // The numbers of one team mean nothing for the other one.
    Object.assign(this.current, { side, who: this.current.who === bench ? bench : '', servedBy: '', assists: [] })
    this.slot = 'who'
    this.#intoEmptyNet()
  }

  /** A tap on a number, or on "number to follow". */
  pickNumber(number: string): void {
    this.#touched()
    const { current } = this
    if (current.kind !== 'goal') {
      current.who = current.who === number ? '' : number
      return
    }
    if (number !== owed && current.who === number && this.slot !== 'who') return this.chooseSlot('who')
    if (number !== owed && current.assists.includes(number)) {
      current.assists = current.assists.filter((one) => one !== number)
      this.slot = current.assists.length === 0 ? 0 : 1
      return
    }
    if (this.slot === 'who') {
      current.who = current.who === number ? '' : number
      if (current.who !== '') this.slot = current.assists.length === 0 ? 0 : 1
      return
    }
    current.unassisted = false
    current.assists[Math.min(this.slot, current.assists.length)] = number
    this.slot = 1
  }

  chooseSlot(slot: Slot): void {
    this.slot = slot === 1 && this.current.assists.length === 0 ? 0 : slot
  }

  /** Empties the scorer or one assist of a goal. */
  clearSlot(slot: Slot): void {
    this.#touched()
    if (slot === 'who') this.current.who = ''
    else this.current.assists = this.current.assists.filter((_, i) => i !== slot)
    this.chooseSlot(slot)
  }

  pickBench(): void {
    this.#touched()
    this.current.who = this.current.who === bench ? '' : bench
  }

  pickCall(id: string, usual: Part[]): void {
    this.#touched()
    if (this.current.kind === '') this.current.kind = 'penalty'
    this.current.call = this.current.call === id ? '' : id
    if (!this.current.chosen) Object.assign(this.current, baseAndExtras(usual))
    if (this.current.who === '' && usual[0] === 'bench_minor') this.current.who = bench
  }

  pickBase(base: Base): void {
    this.#choosing()
    this.current.base = this.current.base === base ? '' : base
  }

  toggleExtra(extra: Extra): void {
    this.#choosing()
    const { extras, base } = this.current
    this.current.extras = extras.includes(extra) ? extras.filter((one) => one !== extra) : [...extras, extra]
    // A call with nothing left is a minor again.
    if (this.current.extras.length === 0 && base === '') this.current.base = 'minor'
  }

  #choosing(): void {
    this.#touched()
    this.current.chosen = true
    this.current.lengths = null
    if (this.current.kind === '') this.current.kind = 'penalty'
  }

  /** Any answer that is not part of the referee's order. */
  set(answers: Partial<Built>): void {
    this.#touched()
    Object.assign(this.current, answers)
  }

  /** Takes the command line as it stands. */
  type(text: string, words: Vocabulary): void {
    this.typedAt = performance.now()
    this.amid = text.trim() !== '' || this.collected.length > 0
    this.line = text
    this.striking = null
    if (text.trim() === '') {
      this.unknown = []
      this.completions = []
      if (!this.amending) this.current = emptyBuilt()
      return
    }
    const parsed = parseLine(text, words)
    this.current = parsed.built
    if (!this.amending && !parsed.built.emptyNet) this.#intoEmptyNet()
    this.unknown = parsed.unknown
    this.completions = parsed.completions
    if (parsed.at !== '' || (!this.amending && this.collected.length === 0)) this.setAt(parsed.at)
    this.slot = this.current.assists.length === 0 ? (this.current.who === '' ? 'who' : 0) : 1
  }

  /** Puts the current call aside, to be posted with the next ones of the stoppage. */
  collect(): void {
    if (this.missing !== null || this.amending) return
    this.collected = [...this.collected, $state.snapshot(this.current) as Built]
    this.#fresh()
  }

  /** Takes a collected call back to work on it. */
  reopen(index: number): void {
    const back = this.collected[index]
    if (!back) return
    const rest = this.collected.filter((_, i) => i !== index)
    if (this.missing === null) rest.push($state.snapshot(this.current) as Built)
    this.collected = rest
    const { at, atPeriod, picked } = this
    this.#fresh()
    this.setAt(at, atPeriod)
    this.picked = picked
    this.current = $state.snapshot(back) as Built
  }

  /** The time on the clock at which it happened, as typed. */
  setAt(text: string, period = this.atPeriod): void {
    this.at = text
    this.atPeriod = period
    this.picked = null
    this.#unordered()
  }

  /** A stop that was picked: `left` is what the clock reads at it. */
  pickStop(at: At, left: number): void {
    this.setAt(leftText(left), at.period)
    this.picked = at
  }

  /** Puts what is built in another place among the lines of its whistle. */
  order(orders: Record<string, number>, others: Line[]): void {
    this.orders = orders
    this.others = others
  }

  #unordered(): void {
    this.orders = {}
    this.others = []
  }

  drop(index: number): void {
    this.collected = this.collected.filter((_, i) => i !== index)
  }

  amend(line: Line): void {
    const built = builtFrom(line)
    if (!built) return
    this.clear()
    this.current = built
    this.amending = line
    this.setAt(line.moment.period > 0 ? leftText(line.moment.left_ms) : '', line.moment.period)
    this.slot = built.kind === 'goal' && built.who !== owed ? (built.assists.length === 0 ? 0 : 1) : 'who'
  }

  strike(line: Line): void {
    this.striking = line
    this.amending = null
  }

  /** Escape: gives up a strike first, then the current call, then the collected ones. */
  back(): void {
    if (this.striking) this.striking = null
    else if (this.amending || this.current.kind !== '' || this.line !== '' || this.current.side !== '') this.#fresh()
    else {
      this.collected = []
      this.setAt('', 0)
    }
  }

  /** What stays while the page is loaded again; null: nothing. A strike is one tap, and begins anew. */
  get kept(): Kept | null {
    if (!this.busy || this.striking) return null
    const { current, collected, line, at, atPeriod, began, amending, saw } = this
    return { current: $state.snapshot(current) as Built, collected: $state.snapshot(collected) as Built[], line, at, atPeriod, began, amending, saw }
  }

  /** Goes on where the page was left. */
  resume({ current, collected, line, at, atPeriod, began, amending, saw }: Kept): void {
    Object.assign(this, { current: { ...emptyBuilt(), ...current }, collected, line, began, amending, saw, amid: line !== '' })
    this.setAt(at, atPeriod)
  }

  clear(): void {
    this.collected = []
    this.#fresh()
    this.striking = null
  }

  /** The entries that "Post" would post now, with fresh ids; `wall` is the bench's time. */
  drafts(ground: Ground, wall: number): Entry[] {
    const { game } = ground
    if (this.striking) return [draft({ game, kind: 'struck', body: {}, of: this.striking.entry, wall })]
    const list: Entry[] = []
    const began = (ground.runs && this.began) || undefined
    // Calls that are posted together are of one stoppage.
    const stop = this.#when(ground)
    for (const built of this.collected) {
      const body = bodyOf(built, ground.division)
      if (body) list.push(draft({ game, wall, at: stop ?? began, ...body }))
    }
    const body = bodyOf(this.current, ground.division)
    if (!body) return list
    const at = this.#placed(stop)
    if (this.amending) {
      // An amendment that says no moment leaves it alone, with its place at the whistle.
      list.push(draft({ game, wall, kind: 'amended', body, of: this.amending.entry, at }))
    } else {
      list.push(draft({ game, wall, at: at ?? began, ...body }))
    }
    for (const { entry, kind, body: says, moment } of this.others) {
      const order = this.orders[entry]
      if (order === undefined) continue
      const then = { period: moment.period, elapsed_ms: moment.elapsed_ms, order }
      list.push(draft({ game, wall, kind: 'amended', body: { kind, body: says } as AmendedBody, of: entry, at: then }))
    }
    return list
  }

  /** The moment with the place at its whistle that was given by hand. */
  #placed(at: At | undefined): At | undefined {
    const order = this.orders['']
    if (order === undefined) return at
    const moment = at ?? this.amending?.moment
    return moment ? { period: moment.period, elapsed_ms: moment.elapsed_ms, order } : at
  }

  #when(ground: Ground): At | undefined {
    const left = this.at === '' ? null : parseClock(this.at)
    if (this.picked) return { period: this.picked.period, elapsed_ms: this.picked.elapsed_ms }
    // A line that is amended keeps its milliseconds while its time reads the same.
    if (left === null || (this.amending && this.at === leftText(this.amending.moment.left_ms)
      && this.atPeriod === this.amending.moment.period)) return undefined
    const begun = ground.periods.filter((one) => one.begun)
    const span = begun.find((one) => one.period === this.atPeriod) ?? begun[begun.length - 1]
    if (!span) return undefined
    return ground.stopAt?.(span.period, left) ?? { period: span.period, elapsed_ms: Math.max(0, span.length_ms - left) }
  }

  #intoEmptyNet(): void {
    const { current, emptyNets } = this
    if (current.kind === 'goal') current.emptyNet = emptyNets.some((side) => side !== current.side) && current.side !== ''
  }

  #touched(): void {
    this.striking = null
    this.amid = this.amid && this.collected.length > 0
    this.line = ''
    this.unknown = []
    this.completions = []
  }

  #fresh(): void {
    this.#touched()
    this.current = emptyBuilt()
    this.amending = null
    this.slot = 'who'
    // What was collected is of the same stoppage as what comes next.
    if (this.collected.length === 0) this.setAt('', 0)
  }
}

/** The numbers of a side that can be tapped, goalkeepers last, as the roster has them. */
export function numbersOf(team: { side: Side; players: { number: string; goalkeeper?: boolean }[] } | undefined): string[] {
  const players = team?.players ?? []
  const skaters = players.filter((one) => !one.goalkeeper)
  return [...skaters, ...players.filter((one) => one.goalkeeper)].map((one) => one.number).filter((one) => one !== '')
}
