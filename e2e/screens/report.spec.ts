import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { Program } from '../harness/program.ts'

// Takes the pictures of the report page: of a game under way, with what is owed,
// and of one that is over and waits for signatures.

const folder = join(dirname(fileURLToPath(import.meta.url)), '../../docs/screens')
const sizes = [
  { name: 'laptop', width: 1366, height: 768 },
  { name: 'phone', width: 390, height: 844 },
]

test('report', async ({ page }) => {
  const program = await Program.demo('third-period')
  try {
    await page.goto(program.bench)
    const bench = new Bench(page)
    await bench.at('page').waitFor()
    await bench.begin('End')
    await page.goto(program.bench.replace('/bench/', '/report/'))
    await page.locator('[data-report=aloud]').waitFor()
    await page.evaluate(() => document.fonts.ready)
    for (const { name, width, height } of sizes) {
      await page.setViewportSize({ width, height })
      await page.evaluate(() => scrollTo(0, 0))
      await page.screenshot({ path: join(folder, `report-${name}.png`), fullPage: name === 'laptop' })
    }
  } finally {
    await program.close()
  }
})
