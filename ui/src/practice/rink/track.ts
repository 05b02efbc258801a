import type { Cue, RinkFrame, RinkSkater } from '../../base/contract/contract'

/**
 * Where the script stands, in milliseconds since its start, when its newest cue
 * was shown at `shownAt` and the practice's clock is at `now`. It waits before a
 * cue that was not shown yet: the referee waits for the bench, and so does the
 * picture.
 */
export function scriptTime(cues: Cue[], cue: number, shownAt: number, now: number): number {
  const from = cues[cue]?.real_ms ?? 0
  const next = cues[cue + 1]?.real_ms ?? from
  return Math.min(from + Math.max(0, now - shownAt), next)
}

/** The cue that began the stretch of play, or the stoppage, to which a cue belongs. */
export function stretchOf(cues: Cue[], cue: number): number {
  let i = Math.max(0, cue)
  while (i > 0 && !begins(cues[i])) i--
  return i
}

/** Whether a cue begins a stretch of play or a stoppage. */
function begins(cue: Cue | undefined): boolean {
  return cue?.kind === 'drop' || cue?.kind === 'whistle' || cue?.kind === 'runs_out'
}

/** A place on the rink, in centimetres. */
interface Place {
  x: number
  y: number
}

/** Where everybody is at an instant. */
export interface Places {
  puck: Place
  referee: Place
  players: RinkSkater[]
}

/**
 * Where everybody is at a script's time: skaters on a curve through the frames
 * (Catmull and Rom's), the puck in a straight line, because a puck does not bend.
 */
export function placesAt(frames: RinkFrame[], time: number): Places | undefined {
  const last = frames.length - 1
  if (last < 0) return undefined
  const i = Math.max(0, Math.min(last - 1, indexAt(frames, time)))
  const from = frames[i] as RinkFrame
  const to = frames[Math.min(last, i + 1)] as RinkFrame
  const span = to.real_ms - from.real_ms
  const part = span <= 0 ? 1 : Math.min(1, Math.max(0, (time - from.real_ms) / span))
  const before = frames[i - 1] ?? from
  const after = frames[i + 2] ?? to
  const now = part < 1 ? from : to
  return {
    puck: line(from.puck, to.puck, part),
    referee: curve(before.referee, from.referee, to.referee, after.referee, part),
    players: now.players.map((one) => {
      const a = find(from, one)
      const b = find(to, one)
      if (!a || !b) return one
      return { ...one, ...curve(find(before, one) ?? a, a, b, find(after, one) ?? b, part) }
    }),
  }
}

function indexAt(frames: RinkFrame[], time: number): number {
  let low = 0
  let high = frames.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if ((frames[middle] as RinkFrame).real_ms <= time) low = middle
    else high = middle - 1
  }
  return low
}

function find(frame: RinkFrame, one: RinkSkater): RinkSkater | undefined {
  return frame.players.find((other) => other.number === one.number && other.side === one.side)
}

function line(a: Place, b: Place, part: number): Place {
  return { x: a.x + (b.x - a.x) * part, y: a.y + (b.y - a.y) * part }
}

function curve(before: Place, a: Place, b: Place, after: Place, part: number): Place {
  return { x: bend(before.x, a.x, b.x, after.x, part), y: bend(before.y, a.y, b.y, after.y, part) }
}

function bend(p: number, a: number, b: number, n: number, t: number): number {
  return a + 0.5 * t * (b - p + t * (2 * p - 5 * a + 4 * b - n + t * (3 * (a - b) + n - p)))
}
