import type { Entry, Jersey, Side, State } from '../../base/contract/contract'
import type { LiveGame } from '../../game/live.svelte'

const most = 99 // shots that one entry holds

type Drafting = LiveGame['draft']

/** The period whose shots are counted: the one that is played, or was played last. 0: none was begun. */
export function countedPeriod(state: State): number {
  const begun = state.periods.filter((one) => one.begun)
  return begun[begun.length - 1]?.period ?? 0
}

/** Shots on goal by a side in a period; in all of them without one. */
export function shotsOf(state: State, side: Side, period?: number): number {
  return state.book.shots
    .filter((one) => one.side === side && (period === undefined || one.period === period))
    .reduce((sum, one) => sum + one.count, 0)
}

/** What the taps that the bench has not answered yet add to the count of a side. */
export function unsentShots(state: State, waiting: Entry[], side: Side): number {
  const known = new Set(state.lines.map((line) => line.entry))
  const counts = new Map<string, number>()
  for (const line of state.lines) if (line.kind === 'shots' && line.body.side === side && !line.struck) counts.set(line.entry, line.body.count)
  let sum = 0
  for (const entry of waiting) {
    if (known.has(entry.id)) continue
    if (entry.type === 'whistlestop.shots.v1' && entry.data.body.side === side) {
      counts.set(entry.id, entry.data.body.count)
      sum += entry.data.body.count
    }
    if (entry.type === 'whistlestop.struck.v1') sum -= counts.get(entry.of ?? '') ?? 0
  }
  return sum
}

/**
 * The newest count that a screen of this seat can take back: what it tapped, or
 * what the ledger has of its seat. `waiting` may have strikes that are not
 * answered yet.
 */
export function lastShots(state: State, seat: string, tapped: { id: string; side: Side }[], waiting: Entry[], only: Side | '' = ''): { id: string; side: Side } | null {
  const gone = new Set(state.lines.filter((line) => line.struck).map((line) => line.entry))
  for (const entry of waiting) if (entry.of !== undefined) gone.add(entry.of)
  const own = tapped.filter((one) => !gone.has(one.id)).pop()
  if (own) return own
  for (let i = state.lines.length - 1; i >= 0; i--) {
    const line = state.lines[i]
    if (line?.kind === 'shots' && !gone.has(line.entry) && line.seat === seat && (only === '' || line.body.side === only)) return { id: line.entry, side: line.body.side }
  }
  return null
}

/**
 * The entries that make the count of a period what somebody has on paper: the
 * rest is added at its end, what is too much is taken off the newest counts.
 */
export function tally(state: State, side: Side, period: number, total: number, draft: Drafting): Entry[] {
  const span = state.periods.find((one) => one.period === period)
  if (!span) return []
  const now = period === countedPeriod(state) ? state.clock.elapsed_ms : span.length_ms
  const at = { period, elapsed_ms: state.stage.kind === span.stage.kind && state.stage.number === span.stage.number ? now : span.length_ms }
  const list: Entry[] = []
  let rest = total - shotsOf(state, side, period)
  while (rest > 0) {
    const count = Math.min(rest, most)
    list.push(draft('shots', { side, count }, { at }))
    rest -= count
  }
  for (let i = state.lines.length - 1; i >= 0 && rest < 0; i--) {
    const line = state.lines[i]
    if (line?.kind !== 'shots' || line.struck || line.body.side !== side || line.moment.period !== period) continue
    const { count } = line.body
    if (count <= -rest) {
      list.push(draft('struck', {}, { of: line.entry }))
      rest += count
    } else {
      list.push(draft('amended', { kind: 'shots', body: { side, count: count + rest } }, { of: line.entry }))
      rest = 0
    }
  }
  return list
}

/** A goalkeeper's game: shots at this goalkeeper, goals among them, and what was saved. */
export interface Keeping {
  side: Side // whose goal
  number: Jersey // empty: nobody said who
  shots: number
  goals: number
  saves: number
}

/** Every goalkeeper that a shot or a goal counts for, those of the home side first. */
export function keeping(state: State): Keeping[] {
  const list: Keeping[] = []
  const of = (side: Side, number: Jersey): Keeping => {
    let found = list.find((one) => one.side === side && one.number === number)
    if (!found) {
      found = { side, number, shots: 0, goals: 0, saves: 0 }
      list.push(found)
    }
    return found
  }
  for (const one of state.book.shots) of(other(one.side), one.goalkeeper).shots += one.count
  for (const goal of state.goals) {
    if (goal.empty_net || goal.on === 'awarded') continue
    of(other(goal.side), keeperAt(state, other(goal.side), goal.moment.abs_ms)).goals += 1
  }
  for (const one of list) one.saves = Math.max(0, one.shots - one.goals)
  return list.sort((a, b) => (a.side === b.side ? 0 : a.side === 'home' ? -1 : 1))
}

/** Who kept a side's goal at a moment of play; empty: the net was, or nobody said. A change at the same whistle comes after it. */
function keeperAt(state: State, side: Side, abs: number): Jersey {
  const before = state.book.keepers.filter((one) => one.side === side && (one.from.abs_ms < abs || one.from.abs_ms === 0))
  return before[before.length - 1]?.number ?? ''
}

function other(side: Side): Side {
  return side === 'home' ? 'visitors' : 'home'
}
