import type { State } from '../../base/contract/contract'
import { leftText } from '../../base/words/format'
import { t } from '../../base/words/words'

/** How far our clock is from the board's, in words; empty where it was not compared or they agree. */
export function driftText(drift: number | undefined): string {
  const seconds = Math.round((drift ?? 0) / 1000)
  if (drift === undefined) return ''
  if (seconds === 0) return t('board.drift.none')
  return t(seconds > 0 ? 'board.drift.ahead' : 'board.drift.behind', { seconds: Math.abs(seconds) })
}

/**
 * The newest moment of the period that is past for certain, as elapsed
 * milliseconds: the last reading, or where play last went on. The board cannot
 * show an earlier one, unless something is being put right.
 */
export function lastKnown(state: State): number {
  if (state.bench.clock === 'follow') return state.clock.elapsed_ms
  const { number, kind } = state.stage
  const period = state.periods.find((one) => one.stage.kind === kind && one.stage.number === number)?.period
  for (let i = state.lines.length - 1; i >= 0; i--) {
    const line = state.lines[i]
    if (!line || line.struck) continue
    if (line.kind === 'stage_begun') break
    // Beside ours, the reading at this very whistle may be put right.
    if (line.kind === 'clock_started' && line.moment.period === period) return line.body.elapsed_ms
  }
  return 0
}

/** What to look at again about a reading of `left` milliseconds; empty when nothing. */
export function doubt(state: State, left: number): string {
  const before = lastKnown(state)
  const elapsed = state.clock.length_ms - left
  if (elapsed >= before) return ''
  return t('board.backwards', { before: leftText(state.clock.length_ms - before), time: leftText(left) })
}
