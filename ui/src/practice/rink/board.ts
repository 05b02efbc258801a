import type { Cue, Division } from '../../base/contract/contract'

/** What the rink's own board shows. */
export interface Shows {
  period: number // overtime periods follow those of the division
  left: number // milliseconds
}

/**
 * The clock of the rink's own board in a script: whoever works the board is quick,
 * so it starts at the drop and stands at the whistle. `shownAt` says when a cue
 * was shown on the practice's clock, `now` what that clock shows.
 */
export function boardAt(cues: Cue[], cue: number, division: Division, shownAt: (cue: number) => number, now: number): Shows {
  const newest = cues[Math.max(0, cue)]
  const period = Math.max(1, newest?.at.period ?? 1)
  let played = newest?.at.elapsed_ms ?? 0
  if (newest?.running && cue >= 0) {
    let from = cue
    while (from > 0 && cues[from - 1]?.running) from--
    played = (cues[from]?.at.elapsed_ms ?? 0) + Math.max(0, now - shownAt(from))
    const stop = cues.slice(cue + 1).find((one) => !one.running)
    if (stop?.at.period === period) played = Math.min(played, stop.at.elapsed_ms)
  }
  return { period, left: Math.max(0, lengthOf(division, period) - played) }
}

function lengthOf(division: Division, period: number): number {
  const overtime = division.overtime?.periods ?? []
  const after = period - division.periods_ms.length
  if (after <= 0) return division.periods_ms[period - 1] ?? 0
  return overtime[Math.min(after, overtime.length) - 1]?.length_ms ?? 0
}
