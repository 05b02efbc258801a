import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'

const sizes = [['phone', 390, 844], ['laptop', 1366, 768], ['tv', 1920, 1080]] as const

test('a league sets a division in the browser: faults by field, what it will do, a file, and a game with it', async ({ page, program }) => {
  const at = (name: string) => page.locator(`[data-division="${name}"]`)
  const start = (name: string) => page.locator(`[data-start="${name}"]`)
  await page.goto(`${program.origin}/`)
  await start('division').selectOption('harbour-u14')
  await expect(start('division-change'), 'what comes with the program is copied, not changed').toHaveCount(0)
  await start('division-make').click()
  await expect(at('facts')).toContainText('3 × 12:00')
  await expect(at('code').locator('option')).not.toHaveCount(1)

  // What cannot be is said at its field, and nothing is kept.
  await at('minor').fill('soon')
  await at('skaters').fill('9')
  await at('keep').click()
  await expect(at('fault')).toHaveCount(3)
  await expect(page.locator('label', { has: at('minor') }).locator('small[role=alert]')).toContainText('minutes and seconds')
  for (const [name, width, height] of sizes) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/division-faults-${name}.png`, fullPage: true })
    expect(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth), name).toBeLessThanOrEqual(0)
  }
  await at('league').fill('Harbour League')
  await at('name').fill('Under 14')
  await at('minor').fill('1:15')
  await at('skaters').fill('5')
  await at('count').selectOption('2')
  await at('period').first().fill('15:00')
  await at('lead_at').fill('5')
  await at('source').fill('league handbook, page 4')
  await expect(at('facts')).toContainText('15:00, 12:00')
  await expect(at('facts')).toContainText('1:15')

  await at('name').fill('Under 13')
  for (const [name, width, height] of sizes) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/division-${name}.png`, fullPage: true })
  }
  await at('keep').click()
  await expect(start('division-kept')).toContainText('Under 13')
  await expect(start('division')).toHaveValue('harbour-league-under-13')
  await expect(start('division-facts')).toContainText('1:15')
  const folder = join(program.data, 'divisions')
  expect(await readdir(folder)).toEqual(['harbour-league-under-13.toml'])
  expect(await readFile(join(folder, 'harbour-league-under-13.toml'), 'utf8')).toMatch(/minor = "1:15"[^]*lengths = "league handbook, page 4"/)

  // The same name is not kept twice; the one that is there can be changed.
  await start('division-make').click()
  await at('league').fill('Harbour League')
  await at('name').fill('Under 13')
  await at('keep').click()
  await expect(at('fault')).toContainText('already')
  await at('close').click()
  await start('division-change').click()
  await at('minor').fill('1:20')
  await at('keep').click()
  await expect(start('division-facts')).toContainText('1:20')

  await start('name-home').fill('Kelp Bay')
  await start('name-visitors').fill('Millrace')
  await start('go').click()
  await expect(page.locator('[data-bench=page]')).toBeVisible()
  const { games } = (await (await fetch(`${program.origin}/api/games`)).json()) as { games: { id: string }[] }
  const { state } = (await (await fetch(`${program.origin}/api/games/${games[0]?.id}`)).json()) as { state: { division: { periods_ms: number[]; lengths: { minor_ms: number } } } }
  expect(state.division).toMatchObject({ periods_ms: [900_000, 720_000], lengths: { minor_ms: 80_000 } })
})
