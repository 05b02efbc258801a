import type { Page } from '@playwright/test'

/** A size of the window in CSS pixels: what is left of it below a browser's own bars, and zoomed. */
export interface Size { name: string; width: number; height: number }

/**
 * The sizes at which the bench is worked. Zoom is a smaller window in CSS pixels, which is how
 * WCAG 2.2 speaks of it (1.4.4, 1.4.10): the 1280 wide laptop at 125 % and at 200 %.
 */
export const sizes: Size[] = [
  { name: 'laptop', width: 1280, height: 577 },
  { name: 'small laptop', width: 1093, height: 525 },
  { name: 'tablet', width: 1024, height: 768 },
  { name: 'phone', width: 390, height: 844 },
  { name: 'small phone', width: 360, height: 640 },
  { name: 'laptop at 125 %', width: 1024, height: 462 },
  { name: 'laptop at 200 %', width: 640, height: 289 },
]

/** What must be seen wherever the page is scrolled to, by selector. */
export const always: Record<string, string> = {
  clock: '[data-bench=clock], [data-bench=slim-clock]',
  'home score': '[data-wall=score-home], [data-bench=slim-score-home]',
  'visitors score': '[data-wall=score-visitors], [data-bench=slim-score-visitors]',
  'READY or HOLD': '[data-bench=ready] .word',
  'clock control': '[data-bench=clock-control], [data-bench=board-form]',
}

/** Says what of `wanted` is not in view now, or lies under something else; and what goes beyond the right edge. */
export function outOfView(page: Page, wanted: Record<string, string>): Promise<string[]> {
  return page.evaluate((list) => {
    const faults: string[] = []
    const wrong = (found: HTMLElement) => {
      const box = found.getBoundingClientRect()
      const inside = box.top >= -1 && box.left >= -1 && box.bottom <= innerHeight + 1 && box.right <= innerWidth + 1
      const over = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2)
      if (!inside) return `at ${Math.round(box.left)},${Math.round(box.top)} to ${Math.round(box.right)},${Math.round(box.bottom)} of ${innerWidth}x${innerHeight}`
      return over && (found.contains(over) || over.contains(found)) ? '' : `under ${over?.className ?? 'nothing'}`
    }
    for (const [name, selector] of Object.entries(list)) {
      const shown = [...document.querySelectorAll<HTMLElement>(selector)].filter((one) => one.getClientRects().length > 0)
      const said = shown.map(wrong)
      if (!said.includes('')) faults.push(`${name}: ${said[0] ?? 'not on the page'}`)
    }
    return faults
  }, wanted)
}

/** Says how far the page can be moved sideways: 0 where it fits (WCAG 2.2, 1.4.10). */
export function sideways(page: Page): Promise<number> {
  return page.evaluate(() => Math.max(0, document.documentElement.scrollWidth - document.documentElement.clientWidth))
}

/**
 * Says which controls cannot be reached by scrolling the page alone: they are cut off by a part that
 * scrolls by itself, or lie under what stays in place when they are scrolled to.
 */
export function hidden(page: Page, selector: string): Promise<string[]> {
  return page.evaluate((wanted) => {
    const faults: string[] = []
    const shown = [...document.querySelectorAll<HTMLElement>(wanted)].filter((one) => one.getClientRects().length > 0)
    if (shown.length === 0) faults.push(`nothing is ${wanted}`)
    for (const one of shown) {
      const name = one.textContent?.trim() ?? ''
      for (let outer = one.parentElement; outer && outer !== document.body; outer = outer.parentElement) {
        const scrolls = getComputedStyle(outer).overflowY
        if (scrolls === 'visible') continue
        const box = one.getBoundingClientRect()
        const frame = outer.getBoundingClientRect()
        if (box.bottom > frame.bottom + 1 || box.top < frame.top - 1) faults.push(`${name}: cut off by ${outer.className}`)
      }
      one.scrollIntoView({ block: 'center' })
      const box = one.getBoundingClientRect()
      const over = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2)
      if (!over || !(one.contains(over) || over.contains(one))) faults.push(`${name}: under ${over?.className ?? 'nothing'}`)
    }
    return faults
  }, selector)
}
