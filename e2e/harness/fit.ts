import type { Page } from '@playwright/test'

/** A size of the window in CSS pixels: what is left of it below a browser's own bars, and zoomed. */
export interface Size { name: string; width: number; height: number }

/**
 * The sizes at which the bench is worked. Zoom is a smaller window in CSS pixels, which is how
 * WCAG 2.2 speaks of it (1.4.4, 1.4.10): the 1366 wide laptop at 125 % and at 200 %, a lower one at
 * 200 %, and 320 px, at which nothing may have to be scrolled sideways.
 */
export const sizes: Size[] = [
  { name: 'laptop', width: 1280, height: 577 },
  { name: 'laptop at 125 %', width: 1093, height: 614 },
  { name: 'small laptop', width: 1093, height: 525 },
  { name: 'tablet', width: 1024, height: 768 },
  { name: 'laptop at 200 %', width: 683, height: 384 },
  { name: 'small laptop at 200 %', width: 640, height: 289 },
  { name: 'phone', width: 390, height: 844 },
  { name: 'small phone', width: 360, height: 640 },
  { name: 'at 400 %', width: 320, height: 640 },
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

/**
 * Says which words are cut off: beyond the box of their control, beyond a part that hides what goes over
 * its edge, or, in the bench's edge, under other words. Lists and tables of figures that are there to be scrolled, and words that
 * end in an ellipsis on purpose, are left out (`scrolled`); with `mayScroll`, what can be scrolled to is not cut off.
 */
export function cut(page: Page, mayScroll = false, scrolled = 'ol, .list, .wide, .ask, .calls, .when, .check, dialog, [role=dialog], textarea, .unseen'): Promise<string[]> {
  return page.evaluate(([lists, fine]) => {
    const faults = new Set<string>()
    const slack = 2 // pixels: letters reach beyond their line a little
    const words: { text: string; box: DOMRect; edge: Element | null; control: Element | null }[] = []
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const text = node.textContent?.trim() ?? ''
      const holder = node.parentElement
      if (text === '' || !holder || holder.closest('.unseen, option, script, style, noscript, svg') || !holder.checkVisibility({ opacityProperty: true, visibilityProperty: true })) continue
      const range = document.createRange()
      range.selectNodeContents(node)
      const box = range.getBoundingClientRect()
      if (box.width < 1 || box.height < 1) continue
      const say = (why: string) => faults.add(`“${text.slice(0, 40)}” ${why}`)
      const middle = (box.top + box.bottom) / 2
      const control = holder.closest('button, a, [role=button], [role=checkbox], summary')
      for (let outer: Element | null = holder; outer && outer !== document.body; outer = outer.parentElement) {
        const style = getComputedStyle(outer)
        const frame = outer.getBoundingClientRect()
        const clamped = style.textOverflow === 'ellipsis' || (style.webkitLineClamp !== 'none' && style.webkitLineClamp !== '')
        if (clamped || outer.matches(lists)) break
        const hides = { x: style.overflowX !== 'visible', y: style.overflowY !== 'visible' && !(fine && /auto|scroll/.test(style.overflowY)) }
        const holds = outer === control && style.display !== 'inline'
        if ((hides.x || holds) && (box.right > frame.right + slack || box.left < frame.left - slack)) say(`goes sideways beyond ${outer.tagName.toLowerCase()}.${outer.className}`)
        // Of a line that is a little higher than its box no letter is cut.
        if ((hides.y || holds) && (middle > frame.bottom - slack || middle < frame.top + slack || box.height > frame.height * 1.6)) say(`is cut off by ${outer.tagName.toLowerCase()}.${outer.className}`)
        if (style.position === 'fixed' || (fine && /auto|scroll/.test(style.overflowY) && outer.scrollHeight > outer.clientHeight)) break
      }
      const right = document.documentElement.clientWidth
      if (box.right > right + slack && !holder.closest('.wide')) say(`goes beyond the page by ${Math.round(box.right - right)} px`)
      words.push({ text, box, edge: holder.closest(lists) ? null : holder.closest('footer.edge'), control })
    }
    const inEdge = words.filter((one) => one.edge)
    for (const [i, one] of inEdge.entries()) {
      for (const other of inEdge.slice(i + 1)) {
        if (one.control && one.control === other.control) continue
        const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left)
        const down = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top)
        if (across > 3 && down > 8) faults.add(`“${one.text.slice(0, 40)}” and “${other.text.slice(0, 40)}” lie over each other`)
      }
    }
    return [...faults]
  }, [scrolled, mayScroll] as const)
}
