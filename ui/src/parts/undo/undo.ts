import type { Line, Seat, State } from '../../base/contract/contract'
import { seatsOf, undoOf } from '../../base/contract/rights'
import { aboutOf } from '../../game/about'

/** What the button that takes back can do now. Null: nothing. */
export interface Undoable {
  undo: Line | null // the newest act, to be struck
  redo: Line | null // the newest strike since the last act that was not struck itself yet
}

const fresh = 60_000 // milliseconds in which a press on the clock can be taken back: after that play has moved on

/**
 * Finds what can be taken back, and what was just taken back, by whoever sits in
 * the seat: a seat is offered only what it may. `wall` is the bench's time.
 */
export function undoable(state: State, wall: number, seat: Seat = 'solo'): Undoable {
  const lines = state.lines.filter((line) => !isBeside(state, line) && (seat === 'solo' || seatsOf[rootOf(state, line).kind].includes(seat)))
  const result: Undoable = { undo: null, redo: null }
  const newest = lines[lines.length - 1]
  // What was just done again is the last act, however old it is.
  if (newest?.kind === 'struck' && !newest.struck && isRedo(state, newest)) result.undo = again(state, newest)
  // As deep as things were taken back, down to the last act of another kind.
  for (let i = lines.length - 1; i >= 0; i--) {
    const line = lines[i]
    if (line?.kind !== 'struck') break
    if (line.struck || isRedo(state, line)) continue
    result.redo = line
    break
  }
  for (let i = lines.length - 1; i >= 0 && !result.undo; i--) {
    const line = lines[i]
    if (!line || line.struck) continue
    if (undoOf[line.kind] === 'never' || line.say.key === 'line.clock_ran_out') continue
    if (undoOf[line.kind] === 'press' && (i < lastAct(lines) || Math.abs(wall - line.wall_ms) > fresh)) continue
    result.undo = line
  }
  return result
}

/** What the strike of a strike brought back; null for a press on the clock, which has a rule of its own. */
function again(state: State, line: Line): Line | null {
  let found: Line | undefined = line
  while (found?.kind === 'struck') {
    const { of }: Line = found
    found = state.lines.find((one) => one.entry === of)
  }
  return found && !found.struck && undoOf[found.kind] !== 'press' ? found : null
}

/** Whether a strike takes back a strike: doing again what was undone. */
function isRedo(state: State, line: Line): boolean {
  return state.lines.find((one) => one.entry === line.of)?.kind === 'struck'
}

/** The place of the newest line that counts: a press on the clock before it has had its consequences. */
function lastAct(lines: Line[]): number {
  for (let i = lines.length - 1; i >= 0; i--) {
    const line = lines[i]
    if (line && !line.struck && line.kind !== 'struck') return i
  }
  return -1
}

/** Whether a line is of what is tapped often beside the game, or takes such a tap back. */
export function isBeside(state: State, line: Line): boolean {
  return undoOf[rootOf(state, line).kind] === 'there'
}

/** The line that a strike or an amendment is about in the end: the entry itself. */
export function rootOf(state: State, line: Line): Line {
  const about = aboutOf(line)
  return about === line.entry ? line : (state.lines.find((one) => one.entry === about) ?? line)
}
