import type { ConsoleBoard } from '../../base/contract/contract'

/** The board while it runs from one whistle to the next; part is how far, from 0 to 1. */
export function between(was: ConsoleBoard, now: ConsoleBoard, part: number): ConsoleBoard {
  if (part <= 0) return was
  if (part >= 1) return now
  const step = (from: number, to: number) => Math.round(from + (to - from) * part)
  // What the clock went on by, so far: a line that is gone at the end ran out on the way.
  const by = Math.abs(now.clock_ms - was.clock_ms) * part
  const sides = was.sides.map((lines, side) => lines.flatMap((line) => {
    const there = now.sides[side]?.find((one) => one.number === line.number)
    const left_ms = line.held ? line.left_ms : there ? step(line.left_ms, there.left_ms) : line.left_ms - by
    return left_ms > 0 ? [{ ...line, left_ms: Math.round(left_ms) }] : []
  })) as ConsoleBoard['sides']
  return { ...was, clock_ms: step(was.clock_ms, now.clock_ms), sides }
}
