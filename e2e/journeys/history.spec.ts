import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { Past } from '../harness/past.ts'

// What an entry said before, who changed it and when; and why a bar is as it is.

test('each version of a call stands in its history, with who and when', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('9:00')
  await bench.typeCall('v 5 hook')
  await bench.act(bench.line(/hooking/), 'amend')
  await bench.page.locator('[data-bench=part][data-part=double_minor]').click()
  await bench.tapPost()
  await bench.act(bench.line(/hooking/), 'strike')
  await bench.tapPost()

  const line = bench.page.locator('[data-bench=line][data-kind=penalty]')
  await expect(line).toHaveAttribute('data-struck', 'true')
  await bench.act(line, 'history-open')
  const versions = line.locator('[data-bench=version]')
  await expect(versions).toHaveCount(3)
  await expect(versions.nth(0)).toHaveAttribute('data-deed', 'struck')
  await expect(versions.nth(1)).toContainText('9:00 of the 1st')
  await expect(versions.nth(1)).toContainText('Double minor')
  await expect(versions.nth(2)).toContainText(/Lanternside 5, Hooking, Minor/)
  await expect(versions.nth(2)).toContainText(/\d\d:\d\d:\d\d/)

  // What comes while it is open is added to it.
  await bench.at('redo').click()
  await bench.tapPost()
  await expect(versions).toHaveCount(4)
  await expect(versions.nth(0)).toHaveAttribute('data-deed', 'back')
  await expect(versions.nth(1)).toHaveAttribute('data-gone', 'true')
  await bench.act(line, 'history-open')
  await expect(line.locator('[data-bench=history]')).toHaveCount(0)
})

test('a bar and a line say why, with the rule', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('9:00')
  await past.penalty('home', '17', 'tripping')
  await past.whistle('8:30')
  await past.goal('visitors', '8')
  await past.penalty('home', '6', 'hooking')
  await bench.at('bar-why').first().click()
  await expect(bench.at('bar-reasons')).toContainText('Kelp Bay 6')
  await expect(bench.at('bar-reasons')).toContainText('8:30 of the 1st – 7:00')
  await bench.at('bar-reasons-close').click()
  await expect(bench.at('bar-reasons')).toHaveCount(0)

  const goal = bench.page.locator('[data-bench=line][data-kind=goal]')
  await bench.act(goal, 'line-why')
  await expect(goal.locator('.rule').first()).toContainText('USA Hockey')
})

test('a start or a stop is put right at the clock; a stop at which somebody left can be struck', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('11:00')
  await past.penalty('home', '7', 'roughing')
  await past.penalty('visitors', '22', 'roughing')
  await past.whistle('9:00')
  await past.whistle('8:30')
  const stops = bench.page.locator('[data-bench=line][data-kind=clock_stopped]')
  // Starts, stops and changes stand folded; the newest, which can be put right, does not.
  await expect(stops).toHaveCount(1)
  for (const fold of await bench.at('fold-open').all()) await fold.click()
  await expect(stops).toHaveCount(3)
  // Newest first: at the clock, struck, neither.
  await expect(stops.nth(0).locator('[data-bench=put-right]')).toHaveCount(1)
  await expect(stops.nth(0).locator('[data-bench=strike]')).toHaveCount(0)
  await expect(stops.nth(1).locator('[data-bench=strike]')).toHaveCount(1)
  await expect(stops.nth(2).locator('button')).toHaveCount(0)

  await stops.nth(1).locator('[data-bench=strike]').click()
  await bench.tapPost()
  await expect(bench.at('clock')).toContainText('8:30')
  await expect(bench.page.locator('[data-todo=out]').filter({ hasText: '7' })).toBeVisible()
  await stops.nth(0).locator('[data-bench=put-right]').click()
  await bench.at('clock-field').fill('8:31')
  await bench.posting(() => bench.page.keyboard.press('Enter'))
  await expect(bench.at('clock')).toContainText('8:31')
})
