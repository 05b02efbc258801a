import { expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import type { WallPage } from './fixtures.ts'
import type { Sitting } from './table.ts'
import { expectWall } from './wall.ts'

/** What both screens show: the home side first. */
export interface Shown {
  clock: string | null // as it is read; null: not looked at
  score: [string, string]
  ice: [string, string] // skaters
  box: [Sitting[], Sitting[]]
}

/** Somebody in the box for whom the side plays short, such as "17 1:30". */
export function short(...words: string[]): Sitting[] {
  return words.map((one) => {
    const [number = '', left = ''] = one.split(' ')
    return { number, left, short: true }
  })
}

/** Waits until the bench and the Wall show this. */
export async function expectBoth(bench: Bench, wall: WallPage, shown: Shown): Promise<void> {
  await expectWall(wall.page, shown, 'the Wall')
  if (shown.clock !== null) await expect(bench.at('clock')).toContainText(shown.clock)
  for (const [i, side] of (['home', 'visitors'] as const).entries()) {
    await expect(bench.at(`score-${side}`)).toHaveText(shown.score[i] ?? '')
    await expect(bench.at(`skaters-${side}`)).toHaveAttribute('data-count', shown.ice[i] ?? '')
    const bars = bench.page.locator(`[data-lane=${side}] [data-wall=bar]`)
    const box = shown.box[i] ?? []
    await expect(bars).toHaveCount(box.length)
    for (const [place, one] of box.entries()) {
      const [minutes = 0, seconds = 0] = one.left.split(':').map(Number)
      await expect(bars.nth(place)).toHaveAttribute('data-player', one.number)
      await expect(bars.nth(place)).toHaveAttribute('data-left', String(minutes * 60 + seconds))
    }
  }
}
