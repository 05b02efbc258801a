import { type Page, expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import type { WallPage } from './fixtures.ts'

/** Puts the clock right by keys alone; what was entered at the whistle stays there. */
async function clockTo(bench: Bench, left: string): Promise<void> {
  const { keyboard } = bench.page
  await bench.posting(async () => {
    await keyboard.press('Shift+F2')
    await keyboard.type(left)
    await keyboard.press('Enter')
  })
}

/** Lets a clock that stands near its end run out. */
async function runOut(bench: Bench): Promise<void> {
  await clockTo(bench, '0:01')
  await bench.posting(() => bench.page.keyboard.press('F2'))
  await expect(bench.at('next-stage')).toBeVisible()
}

async function alone(page: Page): Promise<void> {
  await page.waitForTimeout(1600) // the line was left alone: the space bar is the clock's
}

/** A whole game by keyboard alone, on any bench, to its end. `entries` tells how many entries the bench itself has. */
export async function keyboardGame(bench: Bench, wall: WallPage, entries: () => Promise<number>): Promise<void> {
  const { page } = bench
  const { keyboard } = page
  const stage = bench.at('stage')

  // The warm-up begins by its key, and the space bar that follows does not begin the period.
  await bench.posting(() => keyboard.press('F4'))
  await expect(stage).toHaveText(/warm-up/i)
  await keyboard.press('Space')
  await expect(stage).toHaveText(/warm-up/i)
  await bench.posting(() => keyboard.press('F4'))
  await expect(stage).toHaveText(/1st period/i)

  await alone(page)
  await bench.posting(() => keyboard.press('Space'))
  await expect(bench.at('clock')).toHaveAttribute('data-running', 'true')
  await page.waitForTimeout(300)
  await bench.posting(() => keyboard.press('Space'))
  await expect(bench.at('clock')).toHaveAttribute('data-running', 'false')

  // Two calls of one whistle: the space after ";" is part of the line.
  const before = await entries()
  await keyboard.type('h 17 rough; v 4 rough', { delay: 20 })
  await bench.considered()
  expect(await entries(), 'typing moved the clock').toBe(before)
  await bench.posting(() => keyboard.press('Enter'))
  await expect(wall.bars('home')).toHaveCount(1)
  await expect(wall.bars('visitors')).toHaveCount(1)

  // The same again is asked about, with both shown; the way back has the focus.
  await keyboard.type('h 17 rough')
  await bench.considered()
  const seq = await bench.seq()
  await keyboard.press('Enter')
  await expect(bench.at('repeat')).toContainText(/In the book.*Roughing/i)
  await expect(bench.at('repeat')).toContainText('Not posted yet')
  await keyboard.press('Enter')
  await expect(bench.at('repeat')).toHaveCount(0)
  expect(await bench.seq()).toBe(seq)
  // A half-built call is there again when the page is loaded again.
  await page.reload()
  await expect(bench.at('command')).toHaveValue('h 17 rough')
  await keyboard.press('Escape')

  await bench.typeCall('g v 8 23')
  await expect(wall.at('score-visitors')).toHaveText('1')
  // Undo twice, and do both again, in words.
  await bench.typeCall('n a note')
  for (const key of ['Control+z', 'Control+z', 'Control+y', 'Control+y']) {
    await keyboard.press(key)
    await bench.considered()
    await bench.posting(() => keyboard.press('Enter'))
  }
  await expect(bench.at('redo')).toHaveCount(0)
  await expect(wall.at('score-visitors')).toHaveText('1')

  await runOut(bench)
  await bench.posting(() => keyboard.press('F4'))
  await expect(stage).toHaveText(/intermission/i)
  // A break that is cut short says so, and takes a second key.
  await keyboard.press('F4')
  await expect(bench.at('unusual')).toContainText(/left on its clock/)
  await keyboard.press('Enter')
  await expect(bench.at('unusual')).toHaveCount(0)
  await expect(stage).toHaveText(/intermission/i)
  await keyboard.press('F4')
  await expect(bench.at('unusual-stay')).toBeFocused()
  await keyboard.press('Tab')
  await bench.posting(() => keyboard.press('Enter'))
  await expect(stage).toHaveText(/2nd period/i)

  // To end the game now would be out of order: it is behind another key and asks.
  await keyboard.press('Shift+F4')
  for (let i = 0; i < 8 && !(await page.evaluate(() => document.activeElement?.textContent?.includes('End the game'))); i++) await keyboard.press('Tab')
  await keyboard.press('Enter')
  await expect(bench.at('unusual')).toContainText('2 of 3 periods')
  await keyboard.press('Escape')
  await expect(bench.at('unusual')).toHaveCount(0)

  await runOut(bench)
  await bench.posting(() => keyboard.press('F4'))
  await clockTo(bench, '0:05') // as good as over: nothing is asked
  await bench.posting(() => keyboard.press('F4'))
  await expect(stage).toHaveText(/3rd period/i)
  await bench.typeCall('t h')
  await runOut(bench)
  await bench.posting(() => keyboard.press('F4'))
  // The end of the game holds nobody, and leads to the report.
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ended')
  await expect(bench.at('to-report')).toBeVisible()
}
