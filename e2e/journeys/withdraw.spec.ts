import { expect, test } from '@playwright/test'
import { openGame } from '../harness/game.ts'
import { Program } from '../harness/program.ts'
import { home } from '../harness/teams.ts'

// A person's name is taken out on the bench's first page.

test('a name is looked for, seen where it stands, and taken out', async ({ page }, info) => {
  const program = await Program.empty()
  try {
    const game = await openGame(program, 'harbour-u14')
    const name = (home.roster.split('\n')[3] ?? '').replace(/^\d+ /, '').replace(/ [GCA]$/, '')
    const exported = async () => (await fetch(`${program.origin}/api/games/${game}/ledger.jsonl`)).text()
    expect(await exported()).toContain(name)
    await page.goto(program.origin)
    const found = page.locator('[data-start=withdraw-found]')
    const look = async (what: string) => {
      await page.locator('[data-start=withdraw-name]').fill(what)
      await page.locator('[data-start=withdraw-look]').click()
    }
    await look('A.')
    await expect(page.locator('[data-start=withdraw-trouble]')).toContainText('too short')
    await look('Nobody Atall')
    await expect(found).toContainText('nowhere')
    await look(name.toUpperCase())
    await expect(found.locator('li')).toHaveCount(1)
    await expect(found).toContainText(home.name)
    expect(await exported()).toContain(name) // to look changes nothing
    for (const [width, height] of [[390, 844], [1366, 768], [1920, 1080]] as const) {
      await page.setViewportSize({ width, height })
      await page.locator('[data-start=withdraw]').scrollIntoViewIfNeeded()
      expect(await page.locator('[data-start=withdraw]').evaluate((box) => box.scrollWidth <= box.clientWidth)).toBe(true)
      await info.attach(`withdraw-${width}`, { body: await page.locator('[data-start=withdraw]').screenshot(), contentType: 'image/png' })
    }
    await page.locator('[data-start=withdraw-act]').click()
    await expect(found).toHaveAttribute('data-done', 'true')
    await expect(found).toContainText('Done')
    const after = await exported()
    expect(after).not.toContain(name)
    expect(after).toContain('whistlestop.withdrawn.v1')
    await page.locator('[data-start=withdraw-again]').click()
    await look(name)
    await expect(found).toContainText('nowhere')

    // Names end on all copies: seen first, then done, and the bench keeps them.
    const ends = page.locator('[data-start=ends]')
    const told = page.locator('[data-start=ends-told]')
    await page.locator('[data-start=ends-look]').click()
    await expect(told.locator('li')).toHaveCount(1)
    for (const [width, height] of [[390, 844], [1366, 768], [1920, 1080]] as const) {
      await page.setViewportSize({ width, height })
      await ends.scrollIntoViewIfNeeded()
      expect(await ends.evaluate((box) => box.scrollWidth <= box.clientWidth)).toBe(true)
      await info.attach(`ends-${width}`, { body: await ends.screenshot(), contentType: 'image/png' })
    }
    await page.locator('[data-start=ends-act]').click()
    await expect(told).toHaveAttribute('data-done', 'true')
    await expect(told).toContainText('Without names now')
    expect(await exported()).toBe(after)
  } finally {
    await program.close()
  }
})
