import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { Program } from '../harness/program.ts'

// Takes the pictures of docs/screens from the running program.

const folder = join(dirname(fileURLToPath(import.meta.url)), '../../docs/screens')

const moments = ['warm-up', 'power-play', 'third-period']
const screens = [
  { name: 'bench', width: 1366, height: 768, phone: false, wall: false },
  { name: 'wall', width: 1920, height: 1080, phone: false, wall: true },
  { name: 'phone', width: 390, height: 844, phone: true, wall: false },
]

for (const moment of moments) {
  test(moment, async ({ browser }) => {
    const program = await Program.demo(moment)
    try {
      for (const screen of screens) {
        const context = await browser.newContext({
          viewport: { width: screen.width, height: screen.height },
          hasTouch: screen.phone, isMobile: screen.phone, locale: 'en-GB',
        })
        const page = await context.newPage()
        await page.goto(screen.wall ? program.wall : program.bench)
        await page.locator(screen.wall ? '[data-wall=clock]' : '[data-bench=page]').waitFor()
        await page.evaluate(() => document.fonts.ready)
        if (screen.name === 'bench' && moment !== 'warm-up') await buildGoal(new Bench(page))
        await page.waitForTimeout(400)
        await page.screenshot({ path: join(folder, `${screen.name}-${moment}.png`) })
        await context.close()
      }
    } finally {
      await program.close()
    }
  })
}

/** A goal that is about to be posted, so that its consequences can be read. */
async function buildGoal(bench: Bench): Promise<void> {
  await bench.beginCall('goal', 'home')
  await bench.at('number').nth(4).click()
  await bench.at('number').nth(2).click()
  await bench.considered()
}
