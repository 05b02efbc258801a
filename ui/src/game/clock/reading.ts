import type { Clock, DelayClock, StageKind, TimeOutClock } from '../../base/contract/contract'

/** What a clock says at one instant. Milliseconds. */
export interface Reading {
  elapsed: number
  left: number
  running: boolean // still counting at that instant
  over: boolean // nothing is left of a clock that has a length
  unknown?: boolean // this device slept, and has not heard the time since: show no number
}

/** Reads the clock at the instant `wall`, in milliseconds of the bench's time. */
export function readClock(clock: Clock, wall: number): Reading {
  let elapsed = clock.elapsed_ms
  if (clock.running && wall > clock.wall_ms) elapsed += wall - clock.wall_ms
  if (clock.length_ms > 0) elapsed = Math.min(elapsed, clock.length_ms)
  const over = clock.length_ms > 0 && elapsed >= clock.length_ms
  return {
    elapsed,
    left: Math.max(0, clock.length_ms - elapsed),
    running: clock.running && !over,
    over,
  }
}

/** What is left of a time-out, or null when there is none or it is over. */
export function timeOutLeft(timeOut: TimeOutClock | undefined, wall: number): number | null {
  if (!timeOut) return null
  const left = timeOut.wall_ms + timeOut.length_ms - wall
  return left > 0 ? Math.min(left, timeOut.length_ms) : null
}

/** What the clock of a delay shows: what is left of its length, or what has passed where it has none. */
export function delayShows(delay: DelayClock, wall: number): { ms: number; up: boolean } {
  const passed = Math.max(0, wall - delay.wall_ms) // not begun yet: under another time of day
  return delay.length_ms > 0 ? { ms: Math.max(0, delay.length_ms - passed), up: false } : { ms: passed, up: true }
}

/** Whether penalties run in this stage: only in a period and in overtime. */
export function isPlay(kind: StageKind): boolean {
  return kind === 'period' || kind === 'overtime'
}
