import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Page, test } from '@playwright/test'
import { Learner } from '../harness/learner.ts'
import { Program } from '../harness/program.ts'

// Takes the pictures of practice on a phone, a laptop and a large screen:
// while a call is entered, with a slip that was told, and at the end.

const folder = process.env['PRACTICE_PICTURES'] ?? join(dirname(fileURLToPath(import.meta.url)), '../../docs/screens/practice')
const sizes = [
  { name: 'phone', viewport: { width: 390, height: 844 }, touch: true },
  { name: 'laptop', viewport: { width: 1366, height: 768 }, touch: false },
  { name: 'tv', viewport: { width: 1920, height: 1080 }, touch: false },
]
const drill = 'drill-double-minor'

async function picture(page: Page, name: string, fullPage = false): Promise<void> {
  await page.evaluate(() => document.fonts.ready)
  await page.waitForTimeout(600)
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage })
}

for (const { name, viewport, touch } of sizes) {
  test(`practice on a ${name}`, async ({ browser }) => {
    const program = await Program.empty()
    const context = await browser.newContext({ viewport, hasTouch: touch, isMobile: touch, locale: 'en-GB' })
    const page = await context.newPage()
    try {
      // One wrong number, so that there is something to tell.
      const learner = new Learner(page, drill, touch, (entry) =>
        /penalty|seated/.test(entry.type) ? { ...entry, data: { body: { ...entry.data.body, player: '9' } } } : entry)
      await page.clock.install()
      await page.goto(`${program.origin}/practice/#play/${drill}/solo/fast`)
      await learner.at('go').waitFor()
      await learner.at('go').click()
      const spoken = learner.script.answers.find(({ cue, entry }) => cue >= 0 && entry.type.includes('penalty'))?.cue ?? 0
      await learner.play(({ cue }) => Promise.resolve(cue >= spoken))
      await page.evaluate(() => scrollTo(0, 0)) // the hand of the test scrolls at times
      await picture(page, `game-${name}`)
      await learner.play(async ({ waits }) => waits === 'start' && (await page.locator('[data-practice=told][data-count="1"], [data-practice=slips-open]:enabled').count()) > 0)
      if (touch) await learner.at('slips-open').click()
      await picture(page, `slip-${name}`)
      if (touch) await learner.at('slips-open').click()
      await learner.play()
      await learner.at('summary').waitFor()
      await picture(page, `summary-${name}`, touch)
    } finally {
      await context.close()
      await program.close()
    }
  })
}
