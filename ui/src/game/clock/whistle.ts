import type { State } from '../../base/contract/contract'
import { isPlay } from './reading'

const usual = 60_000 // milliseconds; a whistle is hardly ever further off than that

/**
 * How many goals and calls were entered at the newest whistle, and go along when
 * the whistle turns out to have been at another time. What was amended since
 * stays where the amendment put it.
 */
export function enteredAtWhistle(state: State): number {
  if (state.clock.running || !isPlay(state.stage.kind)) return 0
  const period = state.periods.find((one) => one.stage.kind === state.stage.kind && one.stage.number === state.stage.number)?.period
  let count = 0
  for (let i = state.lines.length - 1; i >= 0; i--) {
    const line = state.lines[i]
    if (!line || line.struck) continue
    if (line.kind === 'clock_started' || line.kind === 'stage_begun') break
    if (line.kind !== 'goal' && line.kind !== 'penalty') continue
    if (!line.amended && line.moment.period === period && line.moment.elapsed_ms === state.clock.elapsed_ms) count++
  }
  return count
}

/** Whether what was entered at the whistle is taken along unless a person says no: `by` in milliseconds. */
export function usuallyMoves(by: number): boolean {
  return Math.abs(by) <= usual
}
