import type { At, Line, State } from '../../base/contract/contract'
import { leftText } from '../../base/words/format'

/** A moment of a period at which play stood, with the goals and calls that were entered at it. */
export interface Stop {
  at: At
  left: number // on the clock, milliseconds
  plays: Line[] // goals and calls that count, in the order of posting
}

/**
 * The stops of a period so far, oldest first: its start, every whistle, and
 * every moment at which something was entered. A whistle that the referee moved
 * is at the place to which it was moved.
 */
export function stopsOf(state: State, period: number): Stop[] {
  const span = state.periods.find((one) => one.period === period)
  if (!span?.begun) return []
  const plays = state.lines.filter((line) => isPlay(line) && !line.struck && line.moment.period === period)
  const places = new Set([...whistles(state.lines, period), ...plays.map((line) => line.moment.elapsed_ms)])
  return [...places].sort((a, b) => a - b).map((elapsed) => ({
    at: { period, elapsed_ms: elapsed },
    left: Math.max(0, span.length_ms - elapsed),
    plays: plays.filter((line) => line.moment.elapsed_ms === elapsed),
  }))
}

/** Whether a line is a goal or a call. */
function isPlay(line: Line): boolean {
  return line.kind === 'goal' || line.kind === 'penalty'
}

/** Where play stood, in milliseconds from the start of the period. */
function whistles(lines: Line[], period: number): number[] {
  let found: number[] = []
  let newest = 0 // where the clock stood last
  for (const line of lines) {
    const { moment } = line
    if (line.struck || moment.period !== period) continue
    switch (line.kind) {
      case 'stage_begun':
      case 'clock_stopped':
      case 'board_read':
        break
      case 'clock_set':
        // What lies beyond was not played; a whistle that was moved is not there any more.
        found = found.filter((one) => one <= moment.elapsed_ms && !(line.body.moves && one === newest))
        break
      default:
        continue
    }
    newest = moment.elapsed_ms
    found.push(newest)
  }
  return found
}

/**
 * The stop that a time on the clock means: people read whole seconds, and a
 * call belongs to its whistle to the millisecond. Null where no stop reads so.
 */
export function stopAt(state: State, period: number, left: number): Stop | null {
  const fits = stopsOf(state, period).filter((one) => leftText(one.left) === leftText(left))
  return fits.find((one) => one.left === left) ?? fits[fits.length - 1] ?? null
}
