/** What a screen asks for, the most urgent first: who may leave, who sits down. */
const seatAsks = ['[data-seat=out]', '[data-seat=back]', '[data-seat=in]']
/** What the referee's words are entered with. */
export const benchAsks = '[data-bench=four], [data-bench=kind-goal], [data-bench=kind-penalty]'

const gap = 8 // pixels that stay free around what is asked

/**
 * Scrolls the page so far that these parts of a screen are in view: below the strip, which ends at `top`
 * (pixels of the window), and above the bars at the foot. What is in view already stays where it is.
 */
export function bring(screen: Element, parts: Element[], top: number): void {
  const boxes = parts.map((part) => part.getBoundingClientRect()).filter((box) => box.height > 0)
  if (boxes.length === 0) return
  const bar = Number.parseFloat(document.documentElement.style.getPropertyValue('--edge-height')) || 0
  // What is built has its end in sight, above the bar.
  const end = screen.querySelector('[data-bench=post]')?.parentElement?.getBoundingClientRect().top ?? innerHeight
  const lowest = Math.max(...boxes.map((box) => box.bottom))
  const below = lowest + gap - Math.min(innerHeight - bar, end)
  const above = Math.min(...boxes.map((box) => box.top)) - gap - top
  if (below > 0) scrollBy(0, Math.min(below, above))
  else if (above < 0) scrollBy(0, above)
}

/** Brings whatever a screen comes to ask for into view, once each time; the result ends it. */
export function bringAsked(screen: Element, top: () => number): () => void {
  let last: Element[] = []
  const look = (): void => {
    const now = [...seatAsks, ...callAsks(screen)].flatMap((one) => screen.querySelector(one) ?? [])
    if (now.length === last.length && now.every((one, n) => one === last[n])) return
    last = now
    // What is most urgent comes last, so that it is in view whatever the rest needs.
    for (const one of [...now].reverse()) bring(screen, [one.matches('[data-bench]') ? (one.parentElement ?? one) : one], top())
  }
  const watch = new MutationObserver(look)
  watch.observe(screen, { childList: true, subtree: true, attributes: true, attributeFilter: ['aria-pressed'] })
  return () => watch.disconnect()
}

/** After the number of a penalty its call is asked, then its length. */
function callAsks(screen: Element): string[] {
  const is = (what: string) => screen.querySelector(`[data-bench=${what}][aria-pressed=true]`) !== null
  if (!is('number')) return []
  return is('call-choice') ? ['[data-bench=part]'] : ['[data-bench=call-choice]']
}
