import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { Past } from '../harness/past.ts'

// Beside the rink's own board: the card's panel, its ticks, the board check, and putting the card away.

test('the card is taken into use, ticked in any order, unticked, and put away', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('9:00')
  await bench.setUp('work')
  await bench.posting(() => bench.page.locator('[data-bench=card-file][data-card=saltworks] [data-bench=card-use]').click())
  await bench.at('work-close').click()
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '0')

  await past.penalty('visitors', '5', 'hooking')
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '2')
  const first = await bench.at('card-next').textContent()
  // The second step first, as hands sometimes do.
  await bench.posting(() => bench.at('card-step').first().click())
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '1')
  await expect(bench.at('card-next')).toHaveText(first ?? '')
  await bench.posting(() => bench.at('card-done').first().click())
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '2')
  await bench.posting(() => bench.at('card-tick').click())
  await bench.posting(() => bench.page.keyboard.press('F9'))
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '0')

  await past.goal('home', '9')
  await past.penalty('home', '17', 'tripping')
  await bench.posting(() => bench.at('card-all').click())
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '0')

  await bench.setUp('work')
  await bench.posting(() => bench.at('card-away').click())
  await bench.at('work-close').click()
  await expect(bench.at('card')).toHaveCount(0)
  await expect(bench.at('look')).toHaveCount(0)
})

test('the board check says what the board should read, also what it cannot show', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.card()
  await past.whistle('9:00')
  await past.goal('home', '9')
  await past.penalty('visitors', '5', 'hooking')
  await past.penalty('visitors', '14', 'tripping')
  await past.whistle('8:50')
  await past.penalty('visitors', '3', 'slashing')
  await bench.page.keyboard.press('Shift+F9')
  await expect(bench.at('reading-clock')).toHaveText('8:50')
  await expect(bench.at('reading-period')).toHaveText('1')
  await expect(bench.at('reading-score-home')).toHaveText('1')
  await expect(bench.at('reading-line-visitors').nth(0)).toHaveText(/05\s*1:20/)
  await expect(bench.at('reading-line-visitors').nth(1)).toHaveText(/14\s*1:20/)
  await expect(bench.at('reading-beside')).toContainText('Lanternside 03: 1:30')
  await bench.posting(() => bench.at('reading-agrees').click())
  await expect(bench.at('reading')).toHaveCount(0)
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '0')
  await bench.at('board-check').click()
  await expect(bench.at('reading')).toContainText('Last found right at 8:50')
  await bench.at('reading-close').click()
  await expect(bench.at('reading')).toHaveCount(0)
})

test('a board that would run penalties down in an intermission is said to be held', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.card()
  await past.whistle('0:30')
  await past.penalty('home', '17', 'tripping')
  await past.runOut()
  await past.begin('intermission', 1)
  await bench.at('board-check').first().click()
  await expect(bench.at('reading-hold')).toBeVisible()
})
