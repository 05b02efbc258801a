import type { Announcement, Entry, Line, State } from '../../base/contract/contract'
import type { Now } from '../../game/lanes/play'

// Milliseconds of play after which an announcement is no news any more.
const fades = 60_000 // a full strength, a last minute
export const old = 180_000 // a goal, a penalty: said late rather than never, but not after what came since

/** The announcements of a game, as somebody at the loudspeaker needs them. */
export interface Sorted {
  due: Announcement[] // to be said now, the first one first
  coming: Announcement[] // when play comes to it
  late: Announcement[] // left out, and not worth saying any more
  said: Announcement[] // newest first
}

/** Sorts the announcements at a moment of play. `waiting` are entries that the bench has not answered yet. */
export function sorted(list: Announcement[], state: State, now: Now, waiting: Entry[] = []): Sorted {
  const begun = state.periods.some((one) => one.begun)
  const said = saidWith(state, waiting)
  const result: Sorted = { due: [], coming: [], late: [], said: [] }
  for (const one of list) {
    if (said(one)) result.said.unshift(one)
    else if (one.due_abs_ms > now.abs) result.coming.push(one)
    else if (isLate(one, now, begun)) result.late.push(one)
    else result.due.push(one)
  }
  return result
}

function isLate({ kind, due_abs_ms }: Announcement, now: Now, begun: boolean): boolean {
  if (kind === 'before') return begun
  return now.abs - due_abs_ms > (kind === 'full_strength' || kind === 'last_minute' ? fades : old)
}

/** Whether an announcement was said, with the taps that are on their way. */
function saidWith(state: State, waiting: Entry[]): (one: Announcement) => boolean {
  const tapped = new Set<string>()
  const back = new Set<string>()
  for (const entry of waiting) {
    if (entry.type === 'whistlestop.announced.v1') tapped.add(entry.data.body.what)
    if (entry.type !== 'whistlestop.struck.v1') continue
    const line = state.lines.find((one) => one.entry === entry.of)
    if (line?.kind === 'announced') back.add(line.body.what)
  }
  return (one) => (one.said || tapped.has(one.key)) && !back.has(one.key)
}

/** The lines with which an announcement was said: to take it back is to strike them. */
export function saidLines(state: State, key: string): Line[] {
  return state.lines.filter((line) => line.kind === 'announced' && !line.struck && line.body.what === key)
}
