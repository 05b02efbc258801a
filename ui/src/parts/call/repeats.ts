import type { Entry, Line, State } from '../../base/contract/contract'

const soon = 120_000 // milliseconds of the wall clock in which somebody may enter the same thing again
const near = 60_000 // milliseconds of play between two times that may mean one
const same = 2000 // milliseconds of play between two times that read alike

/** Something in the ledger that a draft seems to say again. */
export interface Repeat {
  line: Line
  draft: number // its place among the drafts
}

/**
 * What the drafts say that the ledger has already, as far as anybody can tell: a
 * goal of the same side and scorer, or the same penalty of the same player, at
 * the same time or entered a moment ago. `abs` is where each draft stands on the
 * axis of play, and `wall` the bench's time.
 */
export function repeatsOf(state: State, drafts: Entry[], abs: (draft: Entry) => number, wall: number): Repeat[] {
  const found: Repeat[] = []
  for (const [i, draft] of drafts.entries()) {
    const line = [...state.lines].reverse().find((one) => !one.struck && says(one, draft) && close(one, abs(draft), wall))
    if (line) found.push({ line, draft: i })
  }
  return found
}

function close(line: Line, abs: number, wall: number): boolean {
  const apart = Math.abs(line.moment.abs_ms - abs)
  return apart <= same || (apart <= near && wall - line.wall_ms <= soon)
}

/** Whether both say the same of the same player. What is left open says nothing yet. */
function says(line: Line, draft: Entry): boolean {
  if (line.kind === 'goal' && draft.type === 'whistlestop.goal.v1') {
    const [a, b] = [line.body, draft.data.body]
    return a.side === b.side && a.on !== 'awarded' && b.on !== 'awarded' && (a.scorer ?? '') === (b.scorer ?? '')
  }
  if (line.kind === 'penalty' && draft.type === 'whistlestop.penalty.v1') {
    const [a, b] = [line.body, draft.data.body]
    const named = (a.player ?? '') !== '' || a.bench === true
    return named && a.side === b.side && a.player === b.player && (a.bench ?? false) === (b.bench ?? false) &&
      a.call === b.call && JSON.stringify(a.parts) === JSON.stringify(b.parts)
  }
  return false
}
