import type { KeyMark } from '../../base/contract/contract'

/** A point of a picture, in thousandths of its width and height. */
export interface Point {
  x: number
  y: number
}

const whole = 1000
/** The least width and height of a mark: less is a finger that slipped. */
const least = 10

const between = (n: number, from: number, to: number) => Math.min(Math.max(Math.round(n), from), to)

/** The rectangle between two corners, on the picture and large enough to be seen. */
export function spanned(key: string, one: Point, other: Point): KeyMark {
  return fitted({
    ...(key !== '' && { key }), x: Math.min(one.x, other.x), y: Math.min(one.y, other.y),
    width: Math.abs(one.x - other.x), height: Math.abs(one.y - other.y),
  })
}

/** A mark moved and sized by so many thousandths, still on the picture. */
export function shifted(mark: KeyMark, by: { x?: number; y?: number; width?: number; height?: number }): KeyMark {
  return fitted({
    ...mark, x: mark.x + (by.x ?? 0), y: mark.y + (by.y ?? 0), width: mark.width + (by.width ?? 0), height: mark.height + (by.height ?? 0),
  })
}

function fitted(mark: KeyMark): KeyMark {
  const width = between(mark.width, least, whole)
  const height = between(mark.height, least, whole)
  return { ...mark, width, height, x: between(mark.x, 0, whole - width), y: between(mark.y, 0, whole - height) }
}
