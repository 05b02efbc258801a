import type { State } from '../../base/contract/contract'
import { leftText } from '../../base/words/format'
import type { Bar } from './bars'
import type { Now } from './play'

const minute = 60_000
const spans = [3, 5, 8, 12, 20, 30, 60].map((minutes) => minutes * minute)

/** A line across both lanes, `at` in milliseconds from now. */
interface Mark {
  key: string
  at: number
  text: string
  period?: number // the end of this period; absent: a whole minute
}

/** The time axis that both lanes share, from now on. */
export interface Axis {
  span: number // milliseconds from the left edge to the right one
  marks: Mark[]
}

/** Chooses the span that shows every release that changes the game, and the lines on it. */
export function axisFor(state: State, bars: Bar[], now: Now): Axis {
  const longest = Math.max(0, ...bars.map(untilEven))
  const wanted = longest === 0 ? 5 * minute : longest * 1.04
  const span = spans.find((one) => one >= wanted) ?? wanted
  const borders = ends(state, now, span)
  // A minute's label yields to the words at the end of a period.
  const taken = (at: number) => borders.some((end) => {
    const [before, behind] = standsBefore(end.at, span) ? [0.26, 0] : [0.07, 0.17]
    return at > end.at - span * before && at < end.at + span * behind
  })
  const whole = minutes(state, now, span).map((mark) => (taken(mark.at) ? { ...mark, text: '' } : mark))
  return { span, marks: [...whole, ...borders] }
}

/**
 * How long a bar matters to the scale. A misconduct is long and leaves nobody
 * short: it may run off the edge rather than make all others too small to read.
 */
function untilEven(bar: Bar): number {
  return Math.max(0, ...bar.pieces.filter((piece) => piece.state !== 'misconduct').map((piece) => piece.to))
}

/** Whether the words at a line stand before it, because there is no room behind it. */
export function standsBefore(at: number, span: number): boolean {
  return at > span * 0.84
}

/** Where a moment stands on the axis, in percent with two decimals, so that little is repainted. */
export function percent(at: number, axis: Axis): number {
  return Math.round(Math.min(1, Math.max(0, at / axis.span)) * 10_000) / 100
}

/** The whole minutes of the game clock, so that a release can be read off the axis. */
function minutes(state: State, now: Now, span: number): Mark[] {
  const step = span <= 5 * minute ? minute : span <= 12 * minute ? 2 * minute : 5 * minute
  const marks: Mark[] = []
  for (const period of state.periods) {
    const end = period.abs_ms + period.length_ms
    if (end <= now.abs || period.abs_ms >= now.abs + span) continue
    for (let left = step; left < period.length_ms; left += step) {
      const at = end - left - now.abs
      if (at > 0 && at < span) marks.push({ key: `${period.period}/${left}`, at, text: leftText(left) })
    }
  }
  return marks
}

function ends(state: State, now: Now, span: number): Mark[] {
  const marks: Mark[] = []
  for (const period of state.periods) {
    const at = period.abs_ms + period.length_ms - now.abs
    // After the end itself the line would lie on the left edge and say nothing.
    if (at > 0 && at <= span && period.length_ms > 0) {
      marks.push({ key: `${period.period}/end`, at, text: '', period: period.period })
    }
  }
  return marks
}
