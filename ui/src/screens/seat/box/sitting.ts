import type { Line, Moment, Release, Side, State, Term } from '../../../base/contract/contract'
import { atWhistle, type BarState, leaves, pieceState, shown } from '../../../game/lanes/bars'
import type { Now } from '../../../game/lanes/play'

const stays = 30_000 // milliseconds of play for which somebody who may leave is still asked about
const fresh = 60_000 // milliseconds in which a tap at the gate can be taken back with one tap
const soonFrom = 10_000 // milliseconds before a release in which the gate is made ready

/**
 * How somebody in the box stands: may leave now; has served the time and comes
 * out at the next whistle; comes out in ten seconds; sits; waits for a
 * teammate's penalty to end; has left too early.
 */
type Standing = 'go' | 'whistle' | 'soon' | 'sits' | 'waits' | 'left'

/** Somebody who is in the box, or should be. Milliseconds. */
export interface Sitter {
  key: string
  side: Side
  number: string // who sits; empty: nobody was named
  offender: string // whose penalty it is; empty: the bench's, or owed
  bench: boolean
  call: string
  standing: Standing
  kind: BarState
  out: Moment // when the player comes out, or is free to at the next whistle
  left: number // until then
  open: boolean // a whistle opens the gate, not the clock
  seen: boolean // was seen in the box since the last break
  goal: boolean // a goal opened the gate
  leftAt?: Moment // when the player was seen leaving too early
  entry: string
}

/** Whoever was seen going in or out last, by side and number. */
interface Seen {
  in: boolean
  at: Moment
  seq: number
}

/** Everybody in the box of a side: who may leave first, then in the order in which they come out. */
export function sittersOf(state: State, side: Side, now: Now): Sitter[] {
  const seen = seenOf(state)
  const since = breakSeq(state)
  const groups = new Map<string, Term[]>()
  for (const term of state.terms) {
    if (term.side !== side || !shown(term, now)) continue
    const key = term.sits === '' ? `row/${term.row}` : `sits/${term.sits}`
    groups.set(key, [...(groups.get(key) ?? []), term])
  }
  const list: Sitter[] = []
  for (const [key, terms] of groups) {
    terms.sort((a, b) => a.start.abs_ms - b.start.abs_ms || a.end.abs_ms - b.end.abs_ms)
    const first = terms[0]
    const last = terms.reduce((a, b) => (leaves(b).abs_ms > leaves(a).abs_ms ? b : a))
    if (!first) continue
    const out = leaves(last)
    const left = Math.max(0, out.abs_ms - now.abs)
    const open = atWhistle(last)
    const kind = pieceState(first, now)
    const was = seen.get(`${side}/${first.sits}`)
    const called = seqOf(state, first.entry)
    const gone = was !== undefined && !was.in && was.seq > called && was.at.abs_ms < out.abs_ms && first.sits !== ''
    list.push({
      key: `${side}/${key}`, side, number: first.sits, offender: first.player, bench: first.bench, call: first.call,
      standing: gone ? 'left' : standingOf(kind, left, open, now), kind, out, left, open,
      seen: was !== undefined && was.in && was.seq > Math.max(since, called),
      goal: false, entry: first.entry, ...(gone ? { leftAt: was.at } : {}),
    })
  }
  return [...goingOf(state, side, now, seen, list), ...list.sort((a, b) => rank(a) - rank(b) || a.out.abs_ms - b.out.abs_ms)]
}

function standingOf(kind: BarState, left: number, open: boolean, now: Now): Standing {
  if (kind === 'free' || left === 0) return 'whistle'
  if (kind === 'waiting') return 'waits'
  return !open && now.play && left <= soonFrom ? 'soon' : 'sits'
}

function rank({ standing }: Sitter): number {
  return standing === 'left' ? 0 : 1
}

/** Those whose gate was opened a moment ago, and who were not seen leaving. */
function goingOf(state: State, side: Side, now: Now, seen: Map<string, Seen>, inside: Sitter[]): Sitter[] {
  const list: Sitter[] = []
  for (const release of state.releases) {
    const { abs_ms } = release.moment
    if (release.side !== side || release.sits === '' || abs_ms > now.abs || now.abs - abs_ms > stays) continue
    if (release.door !== 'at_end' && release.door !== 'at_whistle') continue
    if (inside.some((one) => one.number === release.sits) || list.some((one) => one.number === release.sits)) continue
    const was = seen.get(`${side}/${release.sits}`)
    const term = state.terms.find((one) => one.id === release.term)
    if (was && !was.in && was.seq > seqOf(state, term?.entry ?? '')) continue
    list.push({
      key: `${side}/go/${release.sits}`, side, number: release.sits, offender: term?.player ?? release.sits,
      bench: term?.bench ?? false, call: term?.call ?? '', standing: 'go', kind: 'free', out: release.moment, left: 0,
      open: false, seen: true, goal: release.why.key === 'why.goal', entry: term?.entry ?? '',
    })
  }
  return list
}

/** The number of the entry of a call: an earlier look at the gate was about another penalty. */
function seqOf(state: State, entry: string): number {
  return state.lines.find((line) => line.entry === entry)?.seq ?? 0
}

function seenOf(state: State): Map<string, Seen> {
  const seen = new Map<string, Seen>()
  for (const line of state.lines) {
    if (line.kind !== 'seated' || line.struck) continue
    seen.set(`${line.body.side}/${line.body.player}`, { in: line.body.in, at: line.moment, seq: line.seq })
  }
  return seen
}

/** The number of the entry with which the last break began; whoever was seen before it has gone out since. 0: none. */
function breakSeq(state: State): number {
  const stages = state.lines.filter((line): line is Line & { kind: 'stage_begun' } => line.kind === 'stage_begun' && !line.struck)
  const last = stages[stages.length - 1]
  if (!last) return 0
  const before = stages[stages.length - 2]
  return last.body.stage.kind !== 'intermission' && before?.body.stage.kind === 'intermission' ? before.seq : last.seq
}

/** Whether the box waits for a period to begin: a break, or a period whose clock was not started. */
export function beforePeriod(state: State, now: Now): boolean {
  if (state.stage.kind === 'intermission') return true
  return now.play && now.period > 1 && !state.clock.running && state.clock.elapsed_ms === 0
}

/** What a goal at this whistle opens: who comes out of which box. Null where the newest whistle had no goal. */
export function afterGoal(state: State, now: Now, running: boolean): { goal: State['goals'][number]; out: Release[] } | null {
  const goal = state.goals.filter((one) => one.moment.abs_ms === now.abs).pop()
  if (!goal || running || !now.play) return null
  return { goal, out: state.releases.filter((one) => one.moment.abs_ms === now.abs && one.why.key === 'why.goal') }
}

/**
 * The entries that a tap at the gate posted last and that can be taken back: the
 * look, and the note that went with it. A note is only its writer's to take back:
 * `mine` says whether this page wrote it.
 */
export function lastLook(state: State, side: Side | '', wall: number, mine: (entry: string) => boolean): Line[] {
  for (let i = state.lines.length - 1; i >= 0; i--) {
    const line = state.lines[i]
    if (line?.kind !== 'seated' || line.struck || (side !== '' && line.body.side !== side)) continue
    if (Math.abs(wall - line.wall_ms) > fresh) return []
    const note = state.lines[i + 1]
    if (note?.kind !== 'note' || note.struck || note.wall_ms !== line.wall_ms) return [line]
    return mine(note.entry) ? [line, note] : []
  }
  return []
}
