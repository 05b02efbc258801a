import { expect, test } from '@playwright/test'
import { Program } from '../harness/program.ts'
import { pictures, seasoned, team } from '../harness/season.ts'

test('every number of a season opens the games and entries behind it: at the bench with the sentences, on a parent\'s phone without', async ({ page }) => {
  const program = await Program.lan()
  const at = (name: string) => page.locator(`[data-season="${name}"]`)
  try {
    const { game, call } = await seasoned(program)

    // The table: points come from the one game, whose report is a tap away.
    await page.goto(`${program.origin}/season#tables`)
    const line = page.locator(`[data-season=line][data-team="${team}"]`)
    await line.locator('[data-number=points]').click()
    await expect(at('behind').locator('> li')).toHaveCount(1)
    await expect(at('behind')).toContainText('counts 3')
    await expect(at('behind-game')).toHaveAttribute('href', `/report/${game}`)
    await pictures(page, 'why-points')
    await page.locator('[data-bench=line-why-close]').click()
    await line.locator('[data-number=lost]').click()
    await expect(at('behind')).toContainText('Nothing stands behind it')
    await page.locator('[data-bench=line-why-close]').click()

    // Three teams without a point are equal: the place says by what they stand so.
    await line.locator('[data-number=place]').click()
    await expect(at('behind').locator('> li')).toHaveCount(1)
    await page.locator('[data-bench=line-why-close]').click()

    // A player's goal: the game, the period and the sentence of the ledger.
    await at('to-figures').click()
    const alva = at('skater').filter({ hasText: 'Alva Reed' })
    await alva.locator('[data-number=points]').click()
    await expect(at('count')).toHaveText(/Goals: 1 · 1st period, 1:00 played: Goal, Millrace 4/)
    await pictures(page, 'why-figure')
    await page.locator('[data-bench=figures-why-close]').click()
    await at('skater').filter({ hasText: 'Tove Marsh' }).locator('[data-number=minutes]').click()
    await expect(at('count')).toContainText('Millrace 17, boarding')
    await page.locator('[data-bench=figures-why-close]').click()

    await page.locator('[data-season=leaders][data-by=points] [data-number=points]').first().click()
    await expect(at('count')).toHaveText(/Goals: 1 · 1st period, 1:00 played: Goal, Millrace 4/)
    await page.locator('[data-bench=figures-why-close]').click()

    // A suspension: by which call it was earned.
    await at('to-suspended').click()
    await expect(at('calls')).toContainText('1st period, 2:00 played: Millrace 17, boarding')

    // Its link leads to the call itself: in sight, marked, with the cursor there.
    await at('call').click()
    await expect(page).toHaveURL(`${program.origin}/report/${game}#entry-${call}`)
    const row = page.locator('[data-pointed]')
    await expect(row).toHaveCount(1)
    await expect(row).toContainText('Boarding')
    await expect(row).toBeInViewport()
    await expect(row).toBeFocused()
    await page.screenshot({ path: 'test-results/season-why-entry.png' })

    // A parent's phone gets the same without names and sentences.
    await page.setViewportSize({ width: 390, height: 844 })
    await page.goto(`${program.network}/season`)
    await at('team').selectOption(team)
    await at('leader').first().click()
    await expect(at('count')).toHaveText(/Goals: 1 · 1st period, 1:00 played$/)
    await expect(at('behind-game')).toHaveAttribute('href', `/follow/${game}`)
    await expect(page.locator('[data-bench=figures-why-overlay]')).not.toContainText('Alva')
    await pictures(page, 'why-guest')
    await page.setViewportSize({ width: 390, height: 844 })
    await at('behind-entry').click()
    await expect(page.locator('[data-follow=goal][data-pointed]')).toBeInViewport()
    await page.goBack()
    await at('leader').first().click()
    await page.locator('[data-bench=figures-why-close]').click()
    await page.locator(`[data-season=line][data-team="${team}"] [data-number=points]`).click()
    await expect(at('behind')).toContainText('Millrace')
    await page.locator('[data-bench=line-why-close]').click()

    // The minutes of a penalty lead to the penalty.
    await at('to-figures').click()
    await at('skater').filter({ hasText: '17' }).locator('[data-number=minutes]').click()
    await at('behind-entry').click()
    await expect(page).toHaveURL(`${program.network}/follow/${game}#entry-${call}`)
    await expect(page.locator('[data-follow=penalty][data-pointed]')).toContainText('Boarding')
    await expect(page.locator('[data-follow=penalty][data-pointed]')).toBeInViewport()
    await pictures(page, 'follow-penalty')
    await page.setViewportSize({ width: 390, height: 844 })
    await page.goto(`${program.network}/season#tables`)

    // The season as files, with numbers for names.
    await at('to-tables').click()
    await expect(at('export-names')).toHaveCount(0)
    for (const file of ['export.pdf', 'export.xlsx', 'export.html', 'export.json', 'export.csv?what=skaters']) {
      const { status, text } = await page.evaluate(async (path) => {
        const answer = await fetch(path)
        return { status: answer.status, text: await answer.text() }
      }, (await at(file).getAttribute('href')) ?? '')
      expect(status, file).toBe(200)
      if (file.includes('json') || file.includes('csv') || file.includes('html')) {
        expect(text, file).toContain('#4')
        expect(text, file).not.toContain('Alva')
      }
    }
    await pictures(page, 'exports-guest')
  } finally {
    await program.close()
  }
})
