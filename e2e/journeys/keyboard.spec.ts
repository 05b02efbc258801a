import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'

// A whole whistle without the mouse: nothing here clicks.

test('clock, penalty and goal by keyboard alone', async ({ bench, wall }) => {
  const { keyboard } = bench.page
  // From the command line the period's button is reached with the Tab key.
  await tabTo(bench.page, '[data-bench=more-stages]')
  await keyboard.press('Enter')
  await tabTo(bench.page, '[data-bench=stage-choice]')
  await bench.posting(() => keyboard.press('Enter'))
  await expect(bench.at('stage')).toHaveText(/1st period/i)

  await keyboard.press('Escape') // back to the command line
  await bench.startClock()
  await bench.stopClock()
  await bench.typeCall('h 17 trip')
  await expect(wall.bars('home')).toHaveCount(1)
  await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '4')

  await bench.startClock()
  await bench.stopClock()
  await bench.typeCall('g v 8 23')
  await expect(wall.at('score-visitors')).toHaveText('1')
  await expect(wall.bars('home')).toHaveCount(0)
  await expect(wall.at('skaters-home')).toHaveAttribute('data-count', '5')
})

test('a word that means nothing is named, and nothing is posted', async ({ bench }) => {
  await bench.begin('1st period')
  const before = await bench.seq()
  await bench.at('command').pressSequentially('h 17 zamboni')
  await expect(bench.at('command-below')).toContainText('zamboni')
  await bench.page.keyboard.press('Enter')
  await expect(bench.at('post')).toBeDisabled()
  expect(await bench.seq()).toBe(before)
})

test('the horn sounds while its key is held, with its visible twin', async ({ bench }) => {
  await bench.page.keyboard.down('F8')
  await expect(bench.page.locator('[data-horn=sounding]')).toBeVisible()
  await bench.page.keyboard.up('F8')
  await expect(bench.page.locator('[data-horn=sounding]')).toHaveCount(0)
})

async function tabTo(page: import('@playwright/test').Page, selector: string): Promise<void> {
  for (let i = 0; i < 60; i++) {
    if (await page.evaluate((s) => document.activeElement?.matches(s) ?? false, selector)) return
    await page.keyboard.press('Tab')
  }
  throw new Error(`the Tab key does not reach ${selector}`)
}
