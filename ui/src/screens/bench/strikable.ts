import type { Kind, Line, State } from '../../base/contract/contract'
import { noStrikeKinds, quietKinds } from '../../base/contract/rights'

const sets: Kind[] = ['clock_started', 'clock_stopped', 'clock_set', 'board_read', 'stage_begun'] // say where the clock stands

/** The newest start or stop that counts, if nothing has said since where the clock stands: it is put right at the clock. */
export function newestPress(lines: Line[]): Line | null {
  const newest = lines.filter((line) => !line.struck && sets.includes(line.kind)).pop()
  return newest && (newest.kind === 'clock_started' || newest.kind === 'clock_stopped') && newest.say.key !== 'line.clock_ran_out' ? newest : null
}

/** The newest line of each kind that people look for: nearly always what is to be put right. */
export function newestOfKinds(lines: Line[]): string[] {
  return [...new Map(lines.filter((line) => !quietKinds.includes(line.kind)).map((line) => [line.kind, line.entry])).values()]
}

/**
 * Whether a line can be struck with a tap: what people decided, not the clock's
 * own course. A stop that was no whistle can be, where somebody was let out at
 * it and a later entry says where the clock stands: no time hangs on it then.
 */
export function strikable(line: Line, { lines, releases }: Pick<State, 'lines' | 'releases'>): boolean {
  if (line.kind !== 'clock_stopped') return !noStrikeKinds.includes(line.kind)
  return (
    line.say.key !== 'line.clock_ran_out' &&
    releases.some((one) => one.door === 'at_whistle' && one.moment.abs_ms === line.moment.abs_ms) &&
    lines.some((one) => one.seq > line.seq && !one.struck && sets.includes(one.kind))
  )
}
