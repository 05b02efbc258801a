import type { Say, State } from '../../base/contract/contract'

const reacts = 1000 // milliseconds after a change of the control in which a finger still means what stood there before

/** A change of what the clock's control does, brought about by another device. */
export interface Turn {
  shown: number // when this page showed it, milliseconds of its own monotonic time
  say: Say // what happened, and what to do
}

/** What a page says when another device has started or stopped the clock. */
export function turnOf(state: State, running: boolean, shown: number): Turn {
  let seat = 'program'
  for (let i = state.lines.length - 1; i >= 0; i--) {
    const line = state.lines[i]
    if (!line || line.struck || !['clock_started', 'clock_stopped', 'stage_begun'].includes(line.kind)) continue
    seat = line.seat
    break
  }
  return { shown, say: { key: running ? 'bench.crossed.clock_runs' : 'bench.crossed.clock_stands', args: { who: `@bench.by.${seat}` } } }
}

/**
 * Whether a press was made for what the control did before it changed: nobody
 * reads a new word and acts on it at once. `touched` is the page's own time.
 */
export function meantBefore(turn: Turn | null, touched: number): boolean {
  return turn !== null && touched - turn.shown < reacts
}

/** The page's own time at which an event happened. Some browsers gave events a stamp of another kind. */
export function touchedAt(event: Event, now: number): number {
  const age = now - event.timeStamp
  return age >= 0 && age < reacts ? event.timeStamp : now
}
