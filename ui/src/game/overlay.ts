import type { Clock, Entry, State } from '../base/contract/contract'
import { readClock } from './clock/reading'

/**
 * The clock with the presses on it that the bench has not answered yet, so that
 * the screen follows the finger at once. Entries that the state knows already
 * are left out.
 */
export function overlayClock(state: State, waiting: Entry[]): Clock {
  let clock = state.clock
  const known = new Set(state.lines.slice(-40).map((line) => line.entry))
  for (const entry of waiting) {
    if (known.has(entry.id)) continue
    const wall = Date.parse(entry.time)
    const elapsed = readClock(clock, wall).elapsed
    switch (entry.type) {
      case 'whistlestop.clock_started.v1':
        clock = { ...clock, running: true, elapsed_ms: elapsed, wall_ms: wall }
        break
      case 'whistlestop.clock_stopped.v1':
        clock = { ...clock, running: false, elapsed_ms: elapsed, wall_ms: wall }
        break
      case 'whistlestop.clock_set.v1':
        clock = { ...clock, elapsed_ms: entry.data.body.elapsed_ms, wall_ms: wall }
        break
      case 'whistlestop.board_read.v1':
        clock = { ...clock, running: false, elapsed_ms: entry.data.body.elapsed_ms, wall_ms: wall }
        break
      case 'whistlestop.stage_begun.v1':
        clock = {
          ...clock, running: entry.data.body.running ?? false, elapsed_ms: 0, wall_ms: wall,
          length_ms: entry.data.body.length_ms,
        }
        break
      default:
    }
  }
  return clock
}

/** Whether an entry is a press on the clock, which the screen follows at once. */
export function isPress(entry: Entry): boolean {
  return entry.type === 'whistlestop.clock_started.v1' || entry.type === 'whistlestop.clock_stopped.v1'
}
