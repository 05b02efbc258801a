import type { Side } from '../../base/contract/contract'
import { keyOf, type Mark, type Marks, rink } from './marks'

/** The colours of the page, read from it once, so that the rink is dark where the page is. */
export interface Inks {
  ice: string
  snow: string
  ink: string
  soft: string
  edge: string
  line: string
  home: string
  homeFill: string
  visitors: string
  visitorsFill: string
}

/** What fits into the canvas, in CSS pixels. */
export interface Room {
  width: number
  height: number
  scale: number // pixels per centimetre
  top: number // where the ice begins, below the crowd
}

const crowdHeight = 22 // pixels: the crowd and the benches of the players
const least = 6 // pixels: the radius of a mark
const legible = 11 // pixels: the radius from which on a number fits into a mark

export function roomFor(width: number): Room {
  const scale = width / rink.length
  return { width, height: Math.round(rink.width * scale) + crowdHeight, scale, top: crowdHeight }
}

export function inksOf(element: Element): Inks {
  const style = getComputedStyle(element)
  const of = (name: string) => style.getPropertyValue(name).trim()
  return {
    ice: of('--ice'), snow: of('--snow'), ink: of('--ink'), soft: of('--soft'), edge: of('--edge'), line: of('--line'),
    home: of('--home'), homeFill: of('--home-fill'), visitors: of('--visitors-mark'), visitorsFill: of('--visitors-fill'),
  }
}

/** Paints the ice, which never moves. */
export function paintIce(to: CanvasRenderingContext2D, room: Room, inks: Inks): void {
  const at = (n: number) => n * room.scale
  to.clearRect(0, 0, room.width, room.height)
  to.save()
  to.translate(0, room.top)
  to.lineWidth = 2
  to.strokeStyle = inks.edge
  to.fillStyle = inks.snow
  to.beginPath()
  to.roundRect(1, 1, room.width - 2, at(rink.width) - 2, at(700))
  to.fill()
  to.stroke()
  to.clip()
  const down = (x: number, wide: number, dash: number[]) => {
    to.setLineDash(dash)
    to.lineWidth = wide
    to.beginPath()
    to.moveTo(at(x), 0)
    to.lineTo(at(x), at(rink.width))
    to.stroke()
  }
  to.strokeStyle = inks.line
  down(rink.goalLine, 1.5, [])
  down(rink.length - rink.goalLine, 1.5, [])
  down(rink.length / 2, 3, [6, 4])
  down(2286, 4, [])
  down(rink.length - 2286, 4, [])
  to.setLineDash([])
  to.lineWidth = 1.5
  for (const [x, y, circle] of spots) {
    to.beginPath()
    if (circle) to.arc(at(x), at(y), at(450), 0, 7)
    to.stroke()
    to.beginPath()
    to.arc(at(x), at(y), Math.max(2, at(30)), 0, 7)
    to.fillStyle = inks.line
    to.fill()
  }
  for (const way of [1, -1]) {
    const x = way > 0 ? at(rink.goalLine) : at(rink.length - rink.goalLine)
    to.beginPath()
    to.arc(x, at(rink.width / 2), at(180), way > 0 ? -Math.PI / 2 : Math.PI / 2, way > 0 ? Math.PI / 2 : -Math.PI / 2)
    to.fillStyle = inks.ice
    to.fill()
    to.stroke()
  }
  to.restore()
}

const spots: [number, number, boolean][] = [
  [3050, 1300, true], [1010, 630, true], [1010, 1970, true], [5090, 630, true], [5090, 1970, true],
  [2440, 630, false], [2440, 1970, false], [3660, 630, false], [3660, 1970, false],
]

/** What else the picture shows of the game. */
export interface Scene {
  /** Whom the referee named last, by key: drawn larger, with the number. */
  named: Set<string>
  /** The goal in which the puck is, by where it stands. */
  lit: 'left' | 'right' | undefined
  /** From 0 (murmurs) to 1 (cheers). */
  crowd: number
  /** Seconds, for what stirs. */
  time: number
}

/** Paints all that moves. */
export function paint(to: CanvasRenderingContext2D, ice: CanvasImageSource, room: Room, inks: Inks, marks: Marks, scene: Scene): void {
  to.clearRect(0, 0, room.width, room.height)
  to.drawImage(ice, 0, 0, room.width, room.height)
  paintCrowd(to, room, inks, scene)
  to.save()
  to.translate(0, room.top)
  paintNets(to, room, inks, scene)
  paintReferee(to, room, inks, marks.referee)
  const named: Mark[] = []
  const tags: { x: number; y: number }[] = []
  for (const mark of marks.all) {
    if (scene.named.has(keyOf(mark.side, mark.number))) named.push(mark)
    else paintMark(to, room, inks, mark)
  }
  const { x, y } = marks.puck
  to.beginPath()
  to.arc(x * room.scale, y * room.scale, Math.max(3.5, 45 * room.scale), 0, 7)
  to.fillStyle = inks.ink
  to.strokeStyle = inks.snow
  to.lineWidth = 2
  to.stroke()
  to.fill()
  for (const mark of named) {
    paintMark(to, room, inks, mark)
    paintTag(to, room, inks, mark, tags)
  }
  to.restore()
}

function radiusOf(room: Room): number {
  return Math.min(22, Math.max(least, 70 * room.scale + 4))
}

/** Home is a full mark, visitors a ring with a bar; goalkeepers are square. */
function paintMark(to: CanvasRenderingContext2D, room: Room, inks: Inks, mark: Mark): void {
  const r = radiusOf(room)
  const x = mark.x * room.scale
  const y = mark.y * room.scale
  const home = mark.side === 'home'
  const numbered = r >= legible
  to.beginPath()
  if (mark.goalkeeper) to.roundRect(x - r, y - r, 2 * r, 2 * r, 3)
  else to.arc(x, y, r, 0, 7)
  to.fillStyle = home ? inks.home : numbered ? inks.snow : inks.visitorsFill
  to.fill()
  to.lineWidth = home ? 1.5 : 3
  to.strokeStyle = home ? inks.snow : inks.visitors
  to.stroke()
  if (numbered) write(to, mark.number, x, y, Math.round(r * 1.25), home ? inks.snow : inks.ink)
  else if (!home) {
    to.fillStyle = inks.visitors
    to.fillRect(x - r * 0.45, y - 1, r * 0.9, 2)
  }
}

/**
 * The number of somebody who was named, large enough to be read on a phone. Where
 * there is one already, the second is left out.
 */
function paintTag(to: CanvasRenderingContext2D, room: Room, inks: Inks, mark: Mark, others: { x: number; y: number }[]): void {
  const r = radiusOf(room)
  const size = 17
  const wide = 8 + mark.number.length * 10
  const x = Math.min(room.width - wide / 2 - 2, Math.max(wide / 2 + 2, mark.x * room.scale))
  const above = mark.y * room.scale - r - 13
  const y = above > 14 ? above : mark.y * room.scale + r + 13
  if (others.some((one) => Math.abs(one.x - x) < wide && Math.abs(one.y - y) < 23)) return
  others.push({ x, y })
  to.beginPath()
  to.roundRect(x - wide / 2, y - 11, wide, 22, 5)
  to.fillStyle = inks.ink
  to.fill()
  write(to, mark.number, x, y, size, inks.snow)
}

function paintReferee(to: CanvasRenderingContext2D, room: Room, inks: Inks, place: { x: number; y: number }): void {
  const r = radiusOf(room) * 0.95
  const x = place.x * room.scale
  const y = place.y * room.scale
  to.save()
  to.beginPath()
  to.moveTo(x, y - r * 1.2)
  to.lineTo(x + r * 1.2, y)
  to.lineTo(x, y + r * 1.2)
  to.lineTo(x - r * 1.2, y)
  to.closePath()
  to.fillStyle = inks.snow
  to.fill()
  to.lineWidth = 1.5
  to.strokeStyle = inks.ink
  to.stroke()
  to.clip()
  to.fillStyle = inks.ink
  for (const n of [-0.75, -0.1, 0.55]) to.fillRect(x + n * r, y - 2 * r, r * 0.3, 4 * r)
  to.restore()
}

function paintNets(to: CanvasRenderingContext2D, room: Room, inks: Inks, scene: Scene): void {
  for (const end of ['left', 'right'] as const) {
    const x = end === 'left' ? (rink.goalLine - 110) * room.scale : (rink.length - rink.goalLine) * room.scale
    const y = (rink.width / 2 - 110) * room.scale
    to.lineWidth = scene.lit === end ? 4 : 2
    to.strokeStyle = scene.lit === end ? inks.ink : inks.edge
    to.fillStyle = scene.lit === end ? inks.ink : inks.ice
    to.beginPath()
    to.rect(x, y, 110 * room.scale, 220 * room.scale)
    to.fill()
    to.stroke()
    if (scene.lit !== end) continue
    // The lamp behind the goal, ours: rays around the net.
    to.beginPath()
    const [mx, my] = [x + 55 * room.scale, y + 110 * room.scale]
    for (let i = 0; i < 12; i++) {
      const [dx, dy] = [Math.cos((i * Math.PI) / 6), Math.sin((i * Math.PI) / 6)]
      to.moveTo(mx + dx * 240 * room.scale, my + dy * 240 * room.scale)
      to.lineTo(mx + dx * 340 * room.scale, my + dy * 340 * room.scale)
    }
    to.lineWidth = 3
    to.stroke()
  }
}

/** The crowd: a line of dots that stir, and jump at a goal. */
function paintCrowd(to: CanvasRenderingContext2D, room: Room, inks: Inks, scene: Scene): void {
  const step = 11
  const count = Math.floor(room.width / step)
  to.fillStyle = inks.edge
  to.beginPath()
  for (let i = 0; i < count; i++) {
    const seed = (i * 37) % 17
    const stir = Math.sin(scene.time * (0.6 + seed / 20) + seed)
    const y = 12 + stir * 1.2 - Math.abs(Math.sin(scene.time * 7 + seed)) * 9 * scene.crowd
    const x = step / 2 + i * step + Math.sin(scene.time * 0.4 + i) * 0.8
    to.moveTo(x + 3, y)
    to.arc(x, y, 3, 0, 7)
  }
  to.fill()
  const bench = (side: Side) => {
    to.fillStyle = side === 'home' ? inks.home : inks.visitors
    to.fillRect((rink.bench[side] - 450) * room.scale, room.top - 5, 900 * room.scale, 4)
  }
  bench('home')
  bench('visitors')
}

function write(to: CanvasRenderingContext2D, text: string, x: number, y: number, size: number, ink: string): void {
  to.font = `600 ${size}px Board, sans-serif`
  to.textAlign = 'center'
  to.textBaseline = 'middle'
  to.fillStyle = ink
  to.fillText(text, x, y + size * 0.06)
}
