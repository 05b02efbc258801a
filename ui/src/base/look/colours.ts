/** What a side's colour is on a page: the same hue wherever it is, light or dark enough to be read. */
export interface Clamped {
  text: string // on the page and on the fill: 7:1
  mark: string // edges and marks: 4.5:1 on the page
  fill: string
  stripe: string // the other part of a pattern with the fill
  on: string // text on that pattern: 7:1
}

type Rgb = [number, number, number]

const page = { light: '#e9f1f3', dark: '#0e1f27' }
const step = 0.01

/** How far two colours are apart, from 1 to 21, as WCAG 2.2 has it. */
export function contrast(a: string, b: string): number {
  const [x, y] = [luminance(a), luminance(b)]
  return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05)
}

/** A club's colour, such as "#ffd200", for pages that are dark or not. */
export function clamp(colour: string, dark: boolean): Clamped {
  const [hue, strength, light] = hsl(colour)
  // From where it is towards ink on a light page, towards snow on a dark one, until it can be read.
  const until = (from: number, saturation: number, ...wanted: [on: string, least: number][]): string => {
    const way = dark ? step : -step
    for (let at = from; at > 0 && at < 1; at += way) {
      const tried = hex(hue, saturation, at)
      if (wanted.every(([on, least]) => contrast(tried, on) >= least)) return tried
    }
    return dark ? '#ffffff' : '#000000'
  }
  const soft = Math.min(strength, 0.7)
  const stripeLight = dark ? readable(hue, soft, 0.24, '#ffffff') * 0.75 : readable(hue, soft, 0.7, '#000000')
  const fill = hex(hue, soft, dark ? stripeLight / 0.75 : stripeLight + 0.12)
  const stripe = hex(hue, soft, stripeLight)
  const text = until(light, strength, [page[dark ? 'dark' : 'light'], 7], [fill, 7])
  return { text, fill, stripe, mark: until(light, strength, [page[dark ? 'dark' : 'light'], 4.5], [fill, 3]), on: until(light, strength, [fill, 7], [stripe, 7]) }
}

/** The lightness, from a first one on, of a plane on which black or white can be read well. */
function readable(hue: number, strength: number, from: number, ink: '#000000' | '#ffffff'): number {
  const way = ink === '#000000' ? step : -step
  let light = from
  while (light > 0.05 && light < 0.88 && contrast(hex(hue, strength, light), ink) < 9) light += way
  return light
}

/** The style sheet of two sides, "" for a side that has the lane's own colour. */
export function sheetOf(home: string, visitors: string): string {
  const rules = (dark: boolean) =>
    Object.entries({ home, visitors }).filter(([, colour]) => colour !== '').map(([side, colour]) => {
      const { text, mark, fill, stripe, on } = clamp(colour, dark)
      return `--${side}:${text};--${side}-mark:${mark};--${side}-fill:${fill};--${side}-stripe:${stripe};--on-${side}:${on};`
    }).join('')
  return `@media (forced-colors: none){:root{${rules(false)}}.dark{${rules(true)}}}`
}

let sheet: CSSStyleSheet | undefined

/** Has the page wear the colours of its two sides. */
export function wearSheet(home: string, visitors: string): void {
  if (!sheet) {
    sheet = new CSSStyleSheet()
    document.adoptedStyleSheets.push(sheet)
  }
  sheet.replaceSync(sheetOf(home, visitors))
}

function rgb(colour: string): Rgb {
  return [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16) / 255) as Rgb
}

function luminance(colour: string): number {
  const [r, g, b] = rgb(colour).map((one) => (one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4)) as Rgb
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}

/** Hue in degrees, saturation and lightness from 0 to 1. */
function hsl(colour: string): Rgb {
  const [r, g, b] = rgb(colour)
  const most = Math.max(r, g, b)
  const range = most - Math.min(r, g, b)
  const light = most - range / 2
  if (range === 0) return [0, 0, light]
  const hue = most === r ? ((g - b) / range + 6) % 6 : most === g ? (b - r) / range + 2 : (r - g) / range + 4
  return [hue * 60, range / (1 - Math.abs(2 * light - 1)), light]
}

function hex(hue: number, strength: number, light: number): string {
  const reach = strength * Math.min(light, 1 - light)
  const part = (shift: number) => {
    const at = (shift + hue / 30) % 12
    return Math.round(255 * (light - reach * Math.max(-1, Math.min(at - 3, 9 - at, 1))))
  }
  return `#${[part(0), part(8), part(4)].map((one) => one.toString(16).padStart(2, '0')).join('')}`
}
