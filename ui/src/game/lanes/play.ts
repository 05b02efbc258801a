import type { Moment, PeriodSpan, Release, State } from '../../base/contract/contract'
import { isPlay } from '../clock/reading'

/** Where the game stands on the axis of play. Milliseconds. */
export interface Now {
  abs: number // since the first face-off
  period: number // the period that is played, or is played next
  end: number // where that period ends, on the same axis
  play: boolean // a period or overtime, in which penalties run
}

/** Finds the moment of play for a stage with `elapsed` milliseconds on its clock. */
export function playNow(state: State, elapsed: number): Now {
  const { kind, number = 0 } = state.stage
  const spans = state.periods
  if (isPlay(kind)) {
    const span = spans.find((one) => one.stage.kind === kind && (one.stage.number ?? 0) === number)
    if (span) {
      const abs = span.abs_ms + Math.min(elapsed, span.length_ms || elapsed)
      return { abs, period: span.period, end: span.abs_ms + span.length_ms, play: true }
    }
  }
  if (kind === 'setup' || kind === 'warm_up') return before(spans[0])
  const begun = spans.filter((one) => one.begun)
  const last = begun[begun.length - 1]
  if (!last) return before(spans[0])
  const after = spans[spans.indexOf(last) + 1]
  if (kind === 'intermission' && after) return before(after)
  const end = last.abs_ms + last.length_ms
  return { abs: end, period: last.period, end, play: false }
}

function before(span: PeriodSpan | undefined): Now {
  if (!span) return { abs: 0, period: 1, end: 0, play: false }
  return { abs: span.abs_ms, period: span.period, end: span.abs_ms + span.length_ms, play: false }
}

/** Skaters of each side at a moment, and how many a side has at full strength then. */
export interface OnIce {
  skaters: [number, number]
  full: number
}

export function onIce(state: State, now: Now): OnIce {
  const span = state.periods.find((one) => one.period === now.period)
  const full = span?.skaters || state.division.skaters || 5
  let skaters: [number, number] = [full, full]
  for (const step of state.strength) {
    // The end of a period is also the start of the next one, whose skaters are not on yet.
    if (step.from.abs_ms > now.abs || step.from.period > now.period) break
    skaters = [step.skaters[0], step.skaters[1]]
  }
  return { skaters, full }
}

/**
 * The next release that is still to come; otherwise whoever is free and waits for a
 * whistle; or null. The fold lets such a player out at the next period at the latest,
 * as if play went on until then: that is no time to tell anybody.
 */
export function nextRelease(state: State, now: Now): Release | null {
  const all = state.releases
  const coming = all.find((one) => one.moment.abs_ms > now.abs && one.door !== 'at_whistle')
  const inside = (free: Release) => all.some((one) => one.term === free.term && one.door !== 'next_whistle' && one.moment.abs_ms > now.abs)
  return coming ?? all.find((one) => one.door === 'next_whistle' && one.moment.abs_ms <= now.abs && inside(one)) ?? null
}

/** How long until a moment comes, at least 0. */
export function until(moment: Moment, now: Now): number {
  return Math.max(0, moment.abs_ms - now.abs)
}
