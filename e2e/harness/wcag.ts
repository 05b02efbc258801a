import type { Page } from '@playwright/test'
import { cut, sideways } from './fit.ts'

// What is measured of WCAG 2.2 beyond the checker of access.ts: 1.4.12, 2.5.3, and colours that
// a reader's own system puts in place of ours.

/** What no longer fits when a reader sets text wider apart, by the figures of 1.4.12. */
export async function spaced(page: Page): Promise<string[]> {
  // The pages allow no style but their own files': a sheet that is made by hand is not asked about.
  await page.evaluate((text) => {
    const sheet = new CSSStyleSheet()
    sheet.replaceSync(text)
    document.adoptedStyleSheets = [sheet]
    // What is placed by its own width is placed again in the next frame.
    return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))
  }, '* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important } p { margin-bottom: 2em !important }')
  const faults = await cut(page, true)
  const beyond = await sideways(page)
  if (beyond > 0) faults.push(`${beyond} px beyond the right edge`)
  await page.evaluate(() => void (document.adoptedStyleSheets = []))
  return faults.map((fault) => `text spacing: ${fault}`)
}

/** Controls whose name does not hold the words that are seen on or beside them (2.5.3). */
export function misnamed(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const plain = (text: string) => text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, ' ').trim()
    const seen = (node: Element): string => [...node.childNodes].map((child) => {
      if (child.nodeType === Node.TEXT_NODE) return child.textContent ?? ''
      if (!(child instanceof Element) || child.matches('.unseen, kbd, svg, select, input, textarea')) return ' '
      return child.checkVisibility() ? ` ${seen(child)} ` : ' '
    }).join('')
    const byId = (ids: string | null) => (ids ?? '').split(/\s+/).map((id) => document.getElementById(id)?.textContent ?? '').join(' ')
    const read = (node: Element): string => [...node.childNodes].map((child) => {
      if (child.nodeType === Node.TEXT_NODE) return child.textContent ?? ''
      if (!(child instanceof Element) || child.getAttribute('aria-hidden') === 'true') return ' '
      return child.getAttribute('aria-label') ?? ` ${read(child)} `
    }).join('')
    const faults: string[] = []
    for (const one of document.querySelectorAll<HTMLElement>('button, a[href], input, select, textarea, summary, [role=button], [role=checkbox], [role=radio], [role=tab]')) {
      if (!one.checkVisibility()) continue
      const field = one.matches('input, select, textarea') ? (one as HTMLInputElement) : null
      const words = plain(field ? [...(field.labels ?? [])].map((label) => seen(label)).join(' ') : seen(one))
      const labelled = one.getAttribute('aria-labelledby')
      const name = plain(labelled ? byId(labelled) : one.getAttribute('aria-label') ?? (field ? [...(field.labels ?? [])].map(read).join(' ') || field.title : read(one)))
      if (name === '' && field?.type !== 'hidden') {
        if (!/\p{L}|\p{N}/u.test(one.textContent ?? '') && (one.getAttribute('aria-label') ?? one.title ?? '') !== '') continue
        faults.push(`a control without a name: ${one.outerHTML.slice(0, 120)}`)
      } else if (words !== '' && !name.replaceAll(' ', '').includes(words.replaceAll(' ', ''))) faults.push(`“${words}” is seen, the name is “${name}”`)
    }
    return [...new Set(faults)]
  })
}

/** What is lost where a reader's system puts its own colours in place of ours. */
export async function lostInForcedColours(page: Page): Promise<string[]> {
  await page.evaluate(() => {
    const clear = (colour: string) => colour === 'transparent' || /^rgba.*, 0\)$/.test(colour)
    const ground = (node: Element | null): string => {
      for (let at = node; at; at = at.parentElement) {
        const { backgroundColor } = getComputedStyle(at)
        if (!clear(backgroundColor)) return backgroundColor
      }
      return 'none'
    }
    const painted = [...document.body.querySelectorAll<HTMLElement>('*')].filter((one) => {
      if (one.textContent?.trim() !== '' || one.matches('button, input, select, textarea, svg, svg *, canvas, img, [hidden]')) return false
      const box = one.getBoundingClientRect()
      if (box.width < 5 || box.height < 5 || !one.checkVisibility({ visibilityProperty: true, opacityProperty: true })) return false
      const style = getComputedStyle(one)
      return style.backgroundImage !== 'none' || (!clear(style.backgroundColor) && style.backgroundColor !== ground(one.parentElement))
    })
    Object.assign(window, { whistlestopPainted: painted, whistlestopGround: ground })
  })
  await page.emulateMedia({ forcedColors: 'active' })
  await page.keyboard.press('Tab') // the keyboard is what moves the focus
  const faults = await page.evaluate(() => {
    const { whistlestopPainted: painted, whistlestopGround: ground } = window as unknown as { whistlestopPainted: HTMLElement[]; whistlestopGround: (node: Element | null) => string }
    const found: string[] = []
    const called = (one: Element) => `${one.tagName.toLowerCase()}.${one.className} in ${one.parentElement?.className ?? ''}`.replaceAll(/ ?svelte-\w+/g, '')
    const edges = ['Top', 'Right', 'Bottom', 'Left'] as const
    for (const one of painted) {
      if (!one.isConnected || !one.checkVisibility()) continue
      const style = getComputedStyle(one)
      const line = edges.some((edge) => parseFloat(style[`border${edge}Width`]) >= 1 && !/none|hidden/.test(style[`border${edge}Style`])) || style.outlineStyle !== 'none'
      const plane = style.backgroundColor !== ground(one.parentElement) && !/^rgba.*, 0\)$/.test(style.backgroundColor)
      if (!line && !plane) found.push(`nothing is left of ${called(one)}`)
    }
    const look = (one: Element) => {
      const style = getComputedStyle(one)
      return [style.backgroundColor, style.outlineStyle, style.textDecorationLine, ...edges.flatMap((edge) => [style[`border${edge}Width`], style[`border${edge}Style`], style[`border${edge}Color`]]), one.textContent].join()
    }
    for (const state of ['aria-pressed', 'aria-checked', 'aria-selected']) {
      for (const one of document.querySelectorAll<HTMLElement>(`[${state}=true]`)) {
        if (!one.checkVisibility()) continue
        const on = look(one)
        one.setAttribute(state, 'false')
        const off = look(one)
        one.setAttribute(state, 'true')
        const marked = one.querySelector('i, .mark, svg') !== null // a tick of its own
        if (on === off && !marked) found.push(`${state} is not seen on ${called(one)}`)
      }
    }
    const met = new Set<string>()
    const before = document.activeElement as HTMLElement | null
    for (const one of document.querySelectorAll<HTMLElement>('button:not(:disabled), a[href], input, select, textarea, summary, [tabindex="0"]')) {
      if (met.has(called(one)) || !one.checkVisibility() || one.matches('[data-bench=board-field]')) continue
      met.add(called(one))
      one.focus({ preventScroll: true })
      if (document.activeElement !== one) continue
      const style = getComputedStyle(one)
      if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) found.push(`the focus is not seen on ${called(one)}`)
    }
    before?.focus({ preventScroll: true })
    return found
  })
  await page.emulateMedia({ forcedColors: null })
  return [...new Set(faults)].map((fault) => `forced colours: ${fault}`)
}
