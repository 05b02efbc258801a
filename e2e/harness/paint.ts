import { expect, type Page } from '@playwright/test'
import type { Bench } from './bench.ts'

declare global {
  interface Window { painted: { score: string; at: number }[]; pressed: number[] }
}

/** Notes when each new score of the home side has been painted, in milliseconds of Unix time. */
export async function watchScore(page: Page, hook: string): Promise<void> {
  await page.evaluate((selector) => {
    window.painted = []
    const score = document.querySelector(selector)
    if (!score) throw new Error(`no ${selector}`)
    const seen = () => {
      const text = score.textContent?.trim() ?? ''
      // The frame after the one that draws it begins when it has been drawn.
      requestAnimationFrame(() => {
        const channel = new MessageChannel()
        channel.port1.onmessage = () =>
          window.painted.push({ score: text, at: performance.timeOrigin + performance.now() })
        channel.port2.postMessage(0)
      })
    }
    new MutationObserver(seen).observe(score, { childList: true, characterData: true, subtree: true })
  }, hook)
}

/** Notes when Enter is pressed on the page, in milliseconds of Unix time. */
export async function watchEnter(page: Page): Promise<void> {
  await page.evaluate(() => {
    window.pressed = []
    window.addEventListener('keydown', (event) => {
      if (event.key === 'Enter') window.pressed.push(performance.timeOrigin + event.timeStamp)
    }, { capture: true })
  })
}

/** Posts the goal number `score` of the home side by keyboard, and waits until the bench shows it. */
export async function postGoal(bench: Bench, score: number): Promise<void> {
  await bench.at('command').fill('g h 12 6')
  await bench.considered()
  await bench.page.keyboard.press('Enter')
  await seen(bench.page, score)
}

/**
 * Waits until a page that is watched has painted a score. An expectation would look at the whole page
 * each time that it is not met yet, in the page's own thread: that costs more than the post.
 */
export async function seen(page: Page, score: number): Promise<void> {
  await page.waitForFunction((wanted) => window.painted.at(-1)?.score === wanted, String(score))
}

/** The milliseconds from each press on one page to the frame of another after the score was painted there, shortest first. */
export async function fromPressToPaint(on: Page, page: Page, posts: number): Promise<number[]> {
  const pressed = await on.evaluate(() => window.pressed)
  expect(pressed).toHaveLength(posts)
  await page.waitForFunction((count) => window.painted.length >= count, posts)
  const painted = await page.evaluate(() => window.painted)
  return pressed
    .map((at, i) => (painted.find((one) => one.score === String(i + 1))?.at ?? Infinity) - at)
    .toSorted((a, b) => a - b)
}

/** The value below which a share of a sorted list lies. */
export function share(sorted: number[], of: number): number {
  return sorted[Math.max(0, Math.ceil(sorted.length * of) - 1)] ?? Infinity
}
