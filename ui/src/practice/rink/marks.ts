import type { Jersey, RinkSkater, Side } from '../../base/contract/contract'
import type { Places } from './track'

/** The rink from above in centimetres, as practice/rink/rink.go has it. */
export const rink = {
  length: 6100,
  width: 2600,
  goalLine: 400,
  edge: 60,
  gate: { home: 1400, visitors: 4700 } satisfies Record<Side, number>,
  bench: { home: 2200, visitors: 3900 } satisfies Record<Side, number>,
}

/** Somebody who is drawn, in centimetres. */
export interface Mark {
  side: Side
  number: Jersey
  goalkeeper: boolean
  x: number
  y: number
}

const skatingSpeed = 1_000 // centimetres per second: how fast a mark makes up for what it is behind
const puckSpeed = 4_000

interface Kept extends Mark {
  /** How far the mark is from where the frames have it. */
  dx: number
  dy: number
  /** Where a mark skates that no frame has: out of the box by mistake. */
  lost: boolean
}

export function keyOf(side: Side, number: Jersey): string {
  return `${side} ${number}`
}

/**
 * Marks move smoothly where the frames do not meet: from one stretch to the next,
 * into the box when the learner's game has somebody there, and out through the
 * gate when the learner told them to leave.
 */
export class Marks {
  puck = { x: rink.length / 2, y: rink.width / 2 }
  referee = { x: rink.length / 2, y: rink.width / 2 }
  #kept = new Map<string, Kept>()
  #behind = { puck: { x: 0, y: 0 }, referee: { x: 0, y: 0 } }
  #boxed = new Set<string>()
  #begun = false

  get all(): Iterable<Mark> {
    return this.#kept.values()
  }

  /**
   * Moves everybody on by `seconds`. `anew` says that the frames are others than
   * before; `leap`, that so much time was left out that gliding would be wrong.
   * It reports whether anybody still glides by itself.
   */
  step(places: Places, boxed: Set<string>, seconds: number, anew: boolean, leap: boolean): boolean {
    const jump = leap || !this.#begun
    this.#begun = true
    if (anew || jump) {
      this.#behind.puck = jump ? none() : { x: this.puck.x - places.puck.x, y: this.puck.y - places.puck.y }
      this.#behind.referee = jump ? none() : { x: this.referee.x - places.referee.x, y: this.referee.y - places.referee.y }
    }
    let gliding = shrink(this.#behind.puck, puckSpeed * seconds)
    gliding = shrink(this.#behind.referee, skatingSpeed * seconds) || gliding
    this.puck = { x: places.puck.x + this.#behind.puck.x, y: places.puck.y + this.#behind.puck.y }
    this.referee = { x: places.referee.x + this.#behind.referee.x, y: places.referee.y + this.#behind.referee.y }

    const wanted = new Set<string>()
    for (const one of places.players) {
      const key = keyOf(one.side, one.number)
      const inside = boxed.has(key)
      if (inside && (jump || !this.#kept.has(key))) continue // drawn in the box
      wanted.add(key)
      this.#place(key, one, inside ? gateOf(one.side) : one, jump, anew)
    }
    for (const key of this.#boxed) {
      if (boxed.has(key) || wanted.has(key) || jump) continue
      const [side, number] = key.split(' ') as [Side, Jersey]
      this.#kept.set(key, { side, number, goalkeeper: false, ...gateOf(side), dx: 0, dy: 0, lost: true })
    }
    for (const [key, mark] of this.#kept) {
      if (mark.lost && !wanted.has(key)) gliding = this.#lose(key, mark, boxed, seconds) || gliding
      else if (!wanted.has(key)) this.#kept.delete(key)
      else gliding = this.#glide(key, mark, boxed, seconds) || gliding
    }
    this.#boxed = boxed
    return gliding
  }

  /** Gives a mark its place, and what it is behind. */
  #place(key: string, one: RinkSkater, to: { x: number; y: number }, jump: boolean, anew: boolean): void {
    const kept = this.#kept.get(key)
    const mark = kept ?? { side: one.side, number: one.number, goalkeeper: one.goalkeeper ?? false, ...to, dx: 0, dy: 0, lost: false }
    const out = !kept && this.#boxed.has(key) ? gateOf(one.side) : undefined
    const far = Math.abs(mark.x - mark.dx - to.x) + Math.abs(mark.y - mark.dy - to.y) > 400
    if (jump) mark.dx = mark.dy = 0
    else if (out) Object.assign(mark, { dx: out.x - to.x, dy: out.y - to.y })
    else if (kept && (anew || far || mark.lost)) Object.assign(mark, { dx: mark.x - to.x, dy: mark.y - to.y })
    mark.lost = false
    mark.x = to.x
    mark.y = to.y
    this.#kept.set(key, mark)
  }

  /** Lets a mark make up for what it is behind. Whoever has come to the gate is in the box. */
  #glide(key: string, mark: Kept, boxed: Set<string>, seconds: number): boolean {
    const offset = { x: mark.dx, y: mark.dy }
    const gliding = shrink(offset, skatingSpeed * seconds)
    mark.dx = offset.x
    mark.dy = offset.y
    mark.x += offset.x
    mark.y += offset.y
    if (!gliding && boxed.has(key)) this.#kept.delete(key)
    return gliding
  }

  /** Somebody who came out by mistake skates to the bench of the team, and from sight. */
  #lose(key: string, mark: Kept, boxed: Set<string>, seconds: number): boolean {
    const to = boxed.has(key) ? gateOf(mark.side) : { x: rink.bench[mark.side], y: rink.edge }
    const way = { x: mark.x - to.x, y: mark.y - to.y }
    const going = shrink(way, skatingSpeed * 0.7 * seconds)
    mark.x = to.x + way.x
    mark.y = to.y + way.y
    if (!going) this.#kept.delete(key)
    return going
  }
}

function gateOf(side: Side): { x: number; y: number } {
  return { x: rink.gate[side], y: rink.width - rink.edge }
}

function none(): { x: number; y: number } {
  return { x: 0, y: 0 }
}

/** Makes a way shorter by so much at most; far ways faster than near ones. Reports whether any is left. */
function shrink(way: { x: number; y: number }, most: number): boolean {
  const length = Math.hypot(way.x, way.y)
  if (length < 1) {
    way.x = way.y = 0
    return false
  }
  const rest = Math.max(0, length - Math.min(most, Math.max(most * 0.15, length * 0.2))) / length
  way.x *= rest
  way.y *= rest
  return rest > 0
}
