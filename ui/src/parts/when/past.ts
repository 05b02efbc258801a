import type { PeriodSpan, Side, State, Term } from '../../base/contract/contract'

/** What stood on the rail of a side: somebody in the box, or a goal. Milliseconds from the start of the period. */
export interface Piece {
  key: string
  kind: 'box' | 'goal'
  number: string // of the player; empty: the bench, or owed
  from: number
  to: number
  costs: boolean // the side played short for it
  line: number // of the lane, from the top
}

/**
 * What a rail showed while the period was played up to `until`: who sat in the
 * box, and the goals. A goal takes as much room as its words, `goal`
 * milliseconds, and a bar at least `least`, so that nothing lies on anything else.
 */
export function pastOf(state: State, side: Side, span: PeriodSpan, until: number, goal: number, least: number): Piece[] {
  const pieces = [...boxes(state, side, span, until), ...goals(state, side, span, goal)].sort((a, b) => a.from - b.from || a.to - b.to)
  const free: number[] = [] // when each line is free again
  for (const piece of pieces) {
    let line = free.findIndex((one) => one <= piece.from)
    if (line < 0) line = free.length
    free[line] = Math.max(piece.to, piece.from + least)
    piece.line = line
  }
  return pieces
}

function boxes(state: State, side: Side, span: PeriodSpan, until: number): Piece[] {
  const rows = new Map<string, Piece>()
  for (const term of state.terms) {
    if (term.side !== side || term.length_ms === 0 || term.ended === 'wiped' || term.ended === 'not_served') continue
    const from = Math.max(0, term.start.abs_ms - span.abs_ms)
    const to = Math.min(until, gone(term) - span.abs_ms)
    if (to <= 0 || from >= until) continue
    const piece = rows.get(term.row)
    if (piece) {
      piece.from = Math.min(piece.from, from)
      piece.to = Math.max(piece.to, to)
      piece.costs ||= term.costs
    } else rows.set(term.row, { key: term.row, kind: 'box', number: term.sits || term.player, from, to, costs: term.costs, line: 0 })
  }
  return [...rows.values()]
}

/** When whoever sat for a term came out; never, if it is at a whistle still to come. */
function gone(term: Term): number {
  if (term.out) return term.out.abs_ms
  return term.door === 'next_whistle' && term.sits !== '' ? Number.MAX_SAFE_INTEGER : term.end.abs_ms
}

function goals(state: State, side: Side, span: PeriodSpan, room: number): Piece[] {
  return state.goals
    .filter((one) => one.side === side && one.moment.period === span.period)
    .map((one) => {
      const at = one.moment.elapsed_ms
      return { key: one.entry, kind: 'goal', number: one.scorer, from: at, to: at + room, costs: false, line: 0 }
    })
}
