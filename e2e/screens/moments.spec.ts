import { expect, type Page } from '@playwright/test'
import { Past } from '../harness/past.ts'
import { test } from '../harness/rink.ts'

// Moments of the bench at a laptop, for docs/design.md. With MOMENTS=folder all of them are taken at
// every size instead, to be looked through.
const folder = process.env['MOMENTS']
const shown = ['play', 'call', 'after-post']
const sizes = folder === undefined
  ? [['laptop', 1366, 768] as const]
  : [['phone', 390, 844], ['small', 360, 640], ['tablet', 1024, 768], ['upright', 768, 1024], ['laptop', 1366, 768], ['tv', 1920, 1080]] as const

async function take(page: Page, moment: string): Promise<void> {
  if (folder === undefined && !shown.includes(moment)) return
  await page.evaluate(() => document.fonts.ready)
  for (const [name, width, height] of sizes) {
    await page.setViewportSize({ width, height })
    await page.evaluate(() => scrollTo(0, 0))
    await page.screenshot({ path: `${folder ?? '../docs/screens'}/moment-${moment}${folder === undefined ? '' : `-${name}`}.png`, animations: 'disabled' })
  }
  await page.setViewportSize({ width: 1366, height: 768 })
}

test('the five moments of the bench', async ({ bench, program, game }) => {
  test.setTimeout(240_000)
  const { page } = bench
  const past = new Past(program, game)
  await take(page, 'before')
  await past.begin('period', 1)
  await past.whistle('10:00')
  await past.goal('visitors', '8')
  await past.whistle('8:00')
  await past.penalty('home', '17', 'tripping')
  await bench.startClock()
  await expect(bench.at('idle-next')).toBeVisible()
  await take(page, 'play')
  await bench.stopClock()
  await take(page, 'whistle')
  await bench.beginCall('penalty', 'home')
  await bench.tapNumber('12')
  await page.locator('[data-bench=call-choice][data-call=hooking]').click()
  await bench.considered()
  await take(page, 'penalty')
  await bench.at('clear').click()
  await bench.beginCall('goal', 'visitors')
  await bench.tapNumber('8')
  await bench.at('unassisted').click()
  await bench.considered()
  await take(page, 'call')
  await bench.tapPost()
  await expect(bench.at('todo-tick').and(page.locator('[data-todo=out]'))).toBeVisible()
  await expect(bench.at('todo-tick').and(page.locator('[data-todo=say]')).first()).toBeVisible()
  await take(page, 'after-post')
  await past.runOut()
  await past.begin('intermission', 1)
  await past.penalty('visitors', '22', 'roughing')
  await take(page, 'break')
})
