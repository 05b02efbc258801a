import type { Millis } from '../base/contract/contract'

/** Times in short. All in milliseconds; early ones are below zero. */
export interface Spread {
  count: number
  middle: Millis // the median
  worst: Millis
}

/** The median and the slowest of times; null where there are none. */
export function spreadOf(times: Millis[]): Spread | null {
  const sorted = [...times].sort((a, b) => a - b)
  const [early, late] = [sorted[(sorted.length - 1) >> 1], sorted[sorted.length >> 1]]
  const worst = sorted.at(-1)
  if (early === undefined || late === undefined || worst === undefined) return null
  return { count: sorted.length, middle: (early + late) / 2, worst }
}

/** Seconds with tenths, as they are graded. */
export function secondsText(ms: Millis): string {
  return (Math.round(ms / 100) / 10).toFixed(1)
}

/** A line of times to be drawn, in milliseconds. */
export interface Axis {
  from: Millis
  to: Millis
}

/** Where on the axis a time stands, from 0 to 100; what lies beyond stands at the end. */
export function placeOn({ from, to }: Axis, ms: Millis): number {
  return (100 * (Math.min(to, Math.max(from, ms)) - from)) / (to - from)
}
