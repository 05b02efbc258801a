import { type Page, expect } from '@playwright/test'
import type { Sitting, Wall } from './table.ts'

/** Opens the public display of a game in a page of its own. */
export async function openWall(page: Page, address: string): Promise<void> {
  await page.goto(address)
  await expect(page.locator('[data-wall=clock]')).toBeVisible()
}

/** What people read on the Wall now. */
async function readWall(page: Page): Promise<Wall> {
  return page.evaluate(() => {
    const text = (name: string) => document.querySelector(`[data-wall="${name}"]`)?.textContent?.trim() ?? ''
    const marks = (side: string) =>
      String(document.querySelectorAll(`[data-wall="skaters-${side}"] i:not(.off)`).length)
    const box = (side: string): Sitting[] =>
      [...document.querySelectorAll<HTMLElement>(`[data-wall="bar"][data-side="${side}"]`)].map((bar) => ({
        number: bar.querySelector('b')?.textContent?.trim() ?? '',
        left: bar.querySelector('.left')?.textContent?.trim() ?? '',
        short: !['matched', 'misconduct', 'free'].includes(bar.dataset['state'] ?? ''),
      }))
    return {
      clock: text('clock'),
      score: [text('score-home'), text('score-visitors')],
      ice: [marks('home'), marks('visitors')],
      box: [box('home'), box('visitors')],
    }
  })
}

/**
 * Waits until the Wall says what is expected, and fails with both when it does
 * not. Under a minute a clock of play shows tenths.
 */
export async function expectWall(page: Page, expected: Wall, about: string): Promise<void> {
  await expect
    .poll(async () => {
      const seen = await readWall(page)
      return inWords({
        ...seen,
        clock: expected.clock === null ? null : seen.clock,
        ice: expected.ice === null ? null : seen.ice,
      })
    }, { message: about, intervals: [10, 20, 50, 100] })
    .toBe(inWords({ ...expected, clock: withTenths(expected.clock) }))
}

/** One line for people, as in the tables of the games. */
function inWords(wall: Wall): string {
  const box = (list: Sitting[]) =>
    list.map((one) => (one.short ? `${one.number} ${one.left}` : `(${one.number} ${one.left})`)).join(', ') || '-'
  return [
    wall.clock ?? '*', wall.score.join(':'), wall.ice?.join(':') ?? '*', box(wall.box[0]), box(wall.box[1]),
  ].join(' | ')
}

function withTenths(clock: string | null): string | null {
  const seconds = /^0:(\d\d)$/.exec(clock ?? '')?.[1]
  return seconds === undefined ? clock : `${Number(seconds)}.0`
}
