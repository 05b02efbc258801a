import type { At, Line, PeriodSpan, State } from '../../base/contract/contract'
import { leftText, parseClock } from '../../base/words/format'
import { type Stop, stopAt, stopsOf } from './stops'

const second = 1000 // milliseconds

/** What a person has said so far about when it happened. */
export interface Asked {
  at: string // as typed, time left on the clock; empty: now
  atPeriod: number
  picked: At | null
  amending: Line | null
}

/** Where in the game what is built stands, and where it could be put. Times in milliseconds from the start of the period. */
export interface When {
  begun: PeriodSpan[]
  period: PeriodSpan | undefined
  stops: Stop[]
  wrong: boolean // what was typed is no time of the period
  chosen: number | null // null: now
  here: Stop | undefined // the stop that was chosen
  until: number // how far the period was played
}

/** Works it out. `played` is how far the newest period has come. */
export function whenOf(state: State, asked: Asked, played: number): When {
  const begun = state.periods.filter((one) => one.begun)
  const newest = begun[begun.length - 1]
  const period = begun.find((one) => one.period === asked.atPeriod) ?? newest
  const stops = period ? stopsOf(state, period.period) : []
  const left = asked.at === '' ? null : parseClock(asked.at)
  const chosen = chosenOf(state, asked, period, left)
  return {
    begun, period, stops, chosen,
    wrong: asked.at !== '' && (left === null || (period !== undefined && left > period.length_ms)),
    here: stops.find((one) => one.at.elapsed_ms === chosen),
    until: !period ? 0 : period === newest ? Math.min(played, period.length_ms) : period.length_ms,
  }
}

function chosenOf(state: State, { at, picked, amending }: Asked, period: PeriodSpan | undefined, left: number | null): number | null {
  if (picked) return picked.elapsed_ms
  if (left === null || !period) return null
  if (amending && at === leftText(amending.moment.left_ms) && period.period === amending.moment.period) return amending.moment.elapsed_ms
  return stopAt(state, period.period, left)?.at.elapsed_ms ?? period.length_ms - left
}

/** The stop within `reach` of a place on the rail, or null. The nearest, if there are more. */
export function stopNear({ stops }: When, elapsed: number, reach: number): Stop | null {
  const far = (one: Stop) => Math.abs(one.at.elapsed_ms - elapsed)
  const near = stops.filter((one) => far(one) <= reach)
  return near.reduce<Stop | null>((best, one) => (best && far(best) <= far(one) ? best : one), null)
}

/** What the clock read at a place on the rail, to the second, as it is typed. Only what was played can be chosen. */
export function readAt({ period, until }: When, elapsed: number): string {
  const length = period?.length_ms ?? 0
  return leftText(Math.round((length - Math.min(Math.max(0, elapsed), until)) / second) * second)
}

/** What the clock read `seconds` later than what is chosen; earlier if they are negative. */
export function nudged(when: When, seconds: number): string {
  const length = when.period?.length_ms ?? 0
  // From the second that people read, so that one step is one second for them.
  const shown = Math.ceil((length - (when.chosen ?? when.until)) / second) * second
  const left = Math.min(length, Math.max(length - when.until, shown - seconds * second))
  return leftText(left)
}

/** The stop before what is chosen, or after it; null where there is none. */
export function stopBeside({ stops, chosen, until }: When, after: boolean): Stop | null {
  const from = chosen ?? until
  const found = stops.filter((one) => (after ? one.at.elapsed_ms > from : one.at.elapsed_ms < from))
  return (after ? found[0] : found[found.length - 1]) ?? null
}
