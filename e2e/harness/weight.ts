import type { Page } from '@playwright/test'

/** A choice as somebody sees it who knows nothing: how much it weighs, and what its heaviest control is. */
export interface Weighed { hook: string; words: string; weight: number }

/**
 * The choices that can be seen and made now, the heaviest first. What a control weighs is its area in the
 * window, in pixels, times the contrast of its fill against the ground on which it stands: an outline
 * weighs its area, a plane of ink on ice as much as fifteen of them. Words and borders do not count. The
 * numbers of a team, the calls, the four targets: controls with one hook are one choice and weigh together.
 * `within` is the part of the page that is looked at.
 */
export function weighed(page: Page, within = 'body'): Promise<Weighed[]> {
  return page.evaluate((root) => {
    type Colour = [number, number, number, number]
    const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true })!
    const read = (text: string): Colour => {
      canvas.clearRect(0, 0, 1, 1)
      canvas.fillStyle = text
      canvas.fillRect(0, 0, 1, 1)
      const [r = 0, g = 0, b = 0, a = 0] = canvas.getImageData(0, 0, 1, 1).data
      return [r, g, b, a / 255]
    }
    /** The fill of one element: its colour, or the first one of its pattern. */
    const own = (one: Element): Colour => {
      const { backgroundColor, backgroundImage } = getComputedStyle(one)
      const fill = read(backgroundColor)
      const pattern = /(?:rgba?|oklch|oklab|color)\([^)]*\)/.exec(backgroundImage)?.[0]
      return fill[3] < 0.5 && pattern !== undefined ? read(pattern) : fill
    }
    /** What is seen where an element is: its fill, or that of the first one around it that has one. */
    const seen = (one: Element | null): Colour => {
      for (; one; one = one.parentElement) {
        const fill = own(one)
        if (fill[3] > 0.5) return fill
      }
      return [255, 255, 255, 1]
    }
    const light = ([r, g, b]: Colour) => {
      const [x = 0, y = 0, z = 0] = [r, g, b].map((part) => part / 255).map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4))
      return 0.2126 * x + 0.7152 * y + 0.0722 * z
    }
    const contrast = (a: Colour, b: Colour) => {
      const [low = 0, high = 0] = [light(a), light(b)].toSorted((x, y) => x - y)
      return (high + 0.05) / (low + 0.05)
    }
    const list: { hook: string; words: string; weight: number }[] = []
    for (const one of document.querySelector(root)?.querySelectorAll<HTMLElement>('button, a[href], summary, select, [role=button], [role=checkbox], [role=radio]') ?? []) {
      if ((one as HTMLButtonElement).disabled || !one.checkVisibility({ opacityProperty: true, visibilityProperty: true })) continue
      const box = one.getBoundingClientRect()
      const [left, top, right, bottom] = [Math.max(0, box.left), Math.max(0, box.top), Math.min(innerWidth, box.right), Math.min(innerHeight, box.bottom)]
      if (right - left < 4 || bottom - top < 4) continue
      const over = document.elementFromPoint((left + right) / 2, (top + bottom) / 2)
      if (!over || !(one.contains(over) || over.contains(one))) continue
      list.push({
        hook: one.dataset['bench'] ?? one.dataset['seat'] ?? '', words: one.innerText.replace(/\s+/g, ' ').slice(0, 40),
        weight: Math.round((right - left) * (bottom - top) * contrast(seen(one), seen(one.parentElement))),
      })
    }
    const choices = new Map<string, { hook: string; words: string; weight: number; most: number }>()
    for (const { hook, words, weight } of list) {
      const before = choices.get(hook || words) ?? { hook, words, weight: 0, most: 0 }
      choices.set(hook || words, { hook, words: weight > before.most ? words : before.words, weight: before.weight + weight, most: Math.max(weight, before.most) })
    }
    return [...choices.values()].sort((a, b) => b.weight - a.weight)
  }, within)
}

const answers = ['settle', 'settle-all', 'fill-in', 'pick', 'add-player'] // to what READY and HOLD ask

/**
 * What may come next on the bench as it stands, by the hooks of its controls: while HOLD stands it is no
 * start of the clock, and while a call is whole it is Post.
 */
export async function nextActs(page: Page): Promise<string[]> {
  const { stage, ready, busy, whole } = await page.evaluate(() => {
    const of = (hook: string, name: string) => document.querySelector<HTMLElement>(`[data-bench=${hook}]`)?.dataset[name] ?? ''
    return { stage: of('page', 'stage'), ready: of('ready', 'ready'), busy: of('call', 'busy') === 'true', whole: document.querySelector('[data-bench=post].main') !== null }
  })
  if (busy) return whole ? ['post'] : ['number', 'call-choice', 'unassisted', 'post']
  if (stage === 'over') return ['to-report']
  if (!['period', 'overtime', 'shoot_out'].includes(stage)) return ['next-stage', 'clock-control', 'todo-tick', ...answers]
  if (ready === 'play') return ['clock-control', 'four']
  if (ready === 'hold') return ['four', 'todo-tick', 'next-stage', ...answers]
  return ['clock-control', 'todo-tick', 'four', 'next-stage', ...answers]
}
