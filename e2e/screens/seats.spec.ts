import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { test } from '@playwright/test'
import { Program } from '../harness/program.ts'
import { powerPlayGoal, postShots } from '../harness/seats.ts'

// Takes the pictures of the seats' screens: before the game, while a penalty
// runs, and after a power-play goal, at the sizes of two phones.

const folder = process.env['SEAT_PICTURES'] ?? join(dirname(fileURLToPath(import.meta.url)), '../../docs/screens/seats')

const seats = ['clock', 'box', 'book', 'shots', 'voice']
const sizes = [{ width: 390, height: 844 }, { width: 360, height: 640 }]
const tables = [{ width: 1366, height: 768 }, { width: 1920, height: 1080 }]
const moments = [
  { name: 'before', demo: 'warm-up' },
  { name: 'penalty', demo: 'power-play' },
  { name: 'goal', demo: 'power-play' },
]

for (const { name, demo } of moments) {
  test(name, async ({ browser }) => {
    const program = await Program.demo(demo)
    try {
      if (name !== 'before') await postShots(program)
      if (name === 'goal') await powerPlayGoal(program)
      for (const seat of seats) {
        for (const viewport of sizes) {
          const context = await browser.newContext({ viewport, hasTouch: true, isMobile: true, locale: 'en-GB' })
          const page = await context.newPage()
          await page.goto(`${program.origin}/seat?seat=${seat}`)
          await page.locator('[data-seat=page]').waitFor()
          await page.evaluate(() => document.fonts.ready)
          await page.waitForTimeout(500)
          await page.screenshot({ path: join(folder, `${seat}-${name}-${viewport.width}.png`) })
          await context.close()
        }
      }
      for (const viewport of tables) {
        const context = await browser.newContext({ viewport, locale: 'en-GB' })
        const page = await context.newPage()
        await page.goto(`${program.origin}/box`)
        await page.locator('[data-seat=box-table]').waitFor()
        await page.evaluate(() => document.fonts.ready)
        await page.waitForTimeout(400)
        await page.screenshot({ path: join(folder, `box-table-${name}-${viewport.width}.png`) })
        await context.close()
      }
    } finally {
      await program.close()
    }
  })
}
