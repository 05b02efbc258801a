import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, test } from '@playwright/test'
import { Program } from '../harness/program.ts'

// Takes the pictures of the moving rink: a call that is signalled and said beside
// the learner's own screen, and all signals of the referee.

const folder = process.env['RINK_PICTURES'] ?? join(dirname(fileURLToPath(import.meta.url)), '../../docs/screens/practice')

const sizes = [{ name: 'phone', width: 390, height: 844 }, { name: 'laptop', width: 1366, height: 768 }]

for (const { name, width, height } of sizes) {
  test(`a call and the signals, ${name}`, async ({ browser }) => {
    const program = await Program.demo('warm-up')
    try {
      const context = await browser.newContext({ viewport: { width, height }, locale: 'en-GB' })
      const page = await context.newPage()
      await page.goto(`${program.origin}/practice/#play/drill-minor/book/fast`)
      await page.locator('[data-practice=go]').click()
      await expect(page.locator('[data-rink=signal]')).toBeVisible({ timeout: 45_000 })
      await expect(page.locator('[data-rink=heard] .newest')).toContainText('Minor', { timeout: 20_000 })
      await page.screenshot({ path: join(folder, `call-${name}.png`) })
      await page.locator('[data-rink=bench]').click()
      await expect(page.locator('[data-rink=family]').first()).toBeVisible()
      await page.screenshot({ path: join(folder, `signals-${name}.png`) })
      await context.close()
    } finally {
      await program.close()
    }
  })
}
