import type { Entry, Line, State } from '../../base/contract/contract'
import { readClock } from '../../game/clock/reading'
import { entryWords } from './words'

/**
 * The state as a seat shows it while the bench does not answer: what was seen at
 * the gate and who keeps goal are in it at once. Everything that takes the rules
 * to be worked out stays as the bench said it last.
 */
export function withKept(state: State, waiting: Entry[]): State {
  const known = new Set(state.lines.map((line) => line.entry))
  const more: Line[] = []
  const struck = new Set<string>()
  let { teams } = state
  for (const entry of waiting) {
    if (known.has(entry.id)) continue
    if (entry.type === 'whistlestop.struck.v1' && entry.of !== undefined) struck.add(entry.of)
    if (entry.type === 'whistlestop.goalkeeper.v1') {
      const { side, number = '' } = entry.data.body
      teams = teams.map((team) => (team.side === side ? { ...team, goalkeeper: number, net_empty: number === '' } : team)) as State['teams']
    }
    if (entry.type === 'whistlestop.seated.v1' || entry.type === 'whistlestop.note.v1') more.push(lineOf(entry, state, state.seq + more.length + 1))
  }
  if (more.length === 0 && struck.size === 0 && teams === state.teams) return state
  const lines = [...state.lines, ...more].map((line) => (struck.has(line.entry) ? { ...line, struck: true } : line))
  return { ...state, teams, lines }
}

/** The line that an entry will be, where the clock stood when it was made. */
function lineOf(entry: Entry, state: State, seq: number): Line {
  const wall = Date.parse(entry.time)
  const span = state.periods.filter((one) => one.begun).pop()
  const play = state.stage.kind === 'period' || state.stage.kind === 'overtime'
  const elapsed = Math.min(span?.length_ms ?? 0, play ? readClock(state.clock, wall).elapsed : (span?.length_ms ?? 0))
  const moment = { abs_ms: (span?.abs_ms ?? 0) + elapsed, period: span?.period ?? 0, elapsed_ms: elapsed, left_ms: (span?.length_ms ?? 0) - elapsed }
  return {
    entry: entry.id, kind: entry.type.replace(/^whistlestop\.(\w+)\.v\d+$/, '$1'), body: entry.data.body, seq, moment, wall_ms: wall,
    seat: entry.seat, say: { key: entryWords(entry, state) }, follows: [], struck: false, amended: false,
  } as Line
}
