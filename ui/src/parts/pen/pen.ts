/** The field that is signed in, in its own units. The paper scales it. */
export const field = { width: 600, height: 180 }

const most = 7900 // characters of a drawing; the ledger takes 8 kB
const step = 4 // units that the pen has to move before it counts

/** A point of the pen in the units of the field. */
export interface Point {
  x: number
  y: number
}

/** The path of a pen as SVG path data, stroke by stroke. */
export function penPath(strokes: Point[][]): string {
  return strokes
    .filter((stroke) => stroke.length > 0)
    .map((stroke) => {
      const [first = { x: 0, y: 0 }, ...rest] = stroke
      // A dot is a stroke, too.
      const points = rest.length > 0 ? rest : [{ x: first.x + 1, y: first.y }]
      return `M${text(first)}${points.map((point) => `L${text(point)}`).join('')}`
    })
    .join('')
}

function text(point: Point): string {
  return `${Math.round(point.x)} ${Math.round(point.y)}`
}

/** The strokes with the pen at another point; the same strokes where it hardly moved or nothing more fits. */
export function drawn(strokes: Point[][], point: Point): Point[][] {
  const stroke = strokes[strokes.length - 1] ?? []
  const last = stroke[stroke.length - 1]
  const kept = { x: Math.min(field.width, Math.max(0, point.x)), y: Math.min(field.height, Math.max(0, point.y)) }
  if (last && Math.hypot(kept.x - last.x, kept.y - last.y) < step) return strokes
  if (full(strokes)) return strokes
  return [...strokes.slice(0, -1), [...stroke, kept]]
}

/** Whether the drawing is as long as the ledger takes. */
export function full(strokes: Point[][]): boolean {
  return penPath(strokes).length > most - 20
}
