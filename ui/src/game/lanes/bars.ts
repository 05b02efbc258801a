import type { Moment, Side, State, Term } from '../../base/contract/contract'
import type { Now } from './play'

/** What a piece of a bar is. */
export type BarState = 'running' | 'waiting' | 'misconduct' | 'matched' | 'free'

/** A piece of a bar: one term, or what is left of it. Milliseconds from now. */
interface Piece {
  id: string
  from: number
  to: number
  state: BarState
}

/** One line of a lane: whoever sits for one call, from now to the release. */
export interface Bar {
  key: string
  side: Side
  number: string // whose call it is; empty: the bench, or owed
  bench: boolean
  sits: string // who is in the box; empty: nobody, or owed
  call: string
  pieces: Piece[]
  left: number // until the last piece is over
  end: Moment // when that is
  first: Moment // when whoever sits now is done; the same where one sits to the end
  state: BarState // of the first piece
  open: boolean // leaves at a whistle, not at the moment
  costs: boolean // the side plays short now
}

/** The bars of a side, in the order in which they were called. */
export function barsOf(state: State, side: Side, now: Now): Bar[] {
  const rows = new Map<string, Term[]>()
  for (const term of state.terms) {
    if (term.side !== side || !shown(term, now)) continue
    const row = rows.get(term.row)
    if (row) row.push(term)
    else rows.set(term.row, [term])
  }
  const bars: Bar[] = []
  for (const [key, terms] of rows) {
    terms.sort((a, b) => a.start.abs_ms - b.start.abs_ms || a.end.abs_ms - b.end.abs_ms)
    const first = terms[0]
    const last = terms[terms.length - 1]
    if (!first || !last) continue
    const pieces = terms.map((term) => pieceOf(term, now))
    bars.push({
      key,
      side,
      number: first.player,
      bench: first.bench,
      sits: first.sits,
      call: first.call,
      pieces,
      left: Math.max(0, leaves(last).abs_ms - now.abs),
      end: leaves(last),
      first: leaves(terms.filter((term) => term.sits === first.sits).pop() ?? last),
      state: pieces[0]?.state ?? 'running',
      open: atWhistle(last),
      costs: terms.some((term) => term.costs && term.start.abs_ms <= now.abs && term.end.abs_ms > now.abs),
    })
  }
  return bars
}

/** Whether a term has anything left to show: time, or a player who waits for a whistle. */
export function shown(term: Term, now: Now): boolean {
  if (term.ended === 'wiped' || term.ended === 'not_served' || term.length_ms === 0) return false
  if (term.end.abs_ms > now.abs) return term.end.abs_ms > term.start.abs_ms
  // Over, but still in the box: until a whistle, or until there is room on the ice.
  return term.sits !== '' && term.door !== 'none' && (!term.out || term.out.abs_ms > now.abs)
}

/** Whether whoever sits comes out at a whistle. One that is still to come may be any. */
export function atWhistle(term: Term): boolean {
  return term.door === 'next_whistle' || term.door === 'at_whistle'
}

/** When whoever sits comes out, or is free to: later than the end where there is no room on the ice. */
export function leaves(term: Term): Moment {
  return term.door === 'at_end' && term.out ? term.out : term.end
}

function pieceOf(term: Term, now: Now): Piece {
  return {
    id: term.id,
    from: Math.max(0, term.start.abs_ms - now.abs),
    to: Math.max(0, leaves(term).abs_ms - now.abs),
    state: pieceState(term, now),
  }
}

export function pieceState(term: Term, now: Now): BarState {
  if (term.end.abs_ms <= now.abs) return 'free'
  if (term.part === 'misconduct' || term.part === 'game_misconduct') return 'misconduct'
  if (term.matched && !term.costs) return 'matched'
  if (term.start.abs_ms > now.abs && term.waits) return 'waiting'
  return 'running'
}
