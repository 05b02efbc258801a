import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { expect, test } from '@playwright/test'
import { Program } from '../harness/program.ts'
import { pictures, seasoned } from '../harness/season.ts'

test('a game is handed in to the league: packed, downloaded, checked by its mark, noted with the answer, and again once it was changed', async ({ page }) => {
  const program = await Program.empty()
  const at = (name: string) => page.locator(`[data-season="${name}"]`)
  try {
    const { office, first, game } = await seasoned(program)
    await page.goto(`${program.origin}/season#hand_in`)
    const row = page.locator(`[data-season=hand-in][data-game="${first.id}"]`)
    await expect(row).toHaveAttribute('data-late', 'false')
    await expect(at('hand-ins')).toContainText('within 24 hours')
    await pictures(page, 'hand-in')

    // The package is what its mark says, and holds the report.
    await row.locator('[data-season=hand]').click()
    const sheet = page.locator('[data-bench=hand-in-overlay]')
    await expect(sheet).toContainText('suspensions earned: 1')
    const [download] = await Promise.all([page.waitForEvent('download'), at('package').click()])
    const pack = await readFile(await download.path())
    expect(download.suggestedFilename()).toBe(`hand-in-${first.id}.zip`)
    await expect(sheet.locator('code')).toHaveText(createHash('sha256').update(pack).digest('hex'))
    expect(pack.includes(`${first.id}/report.json`)).toBe(true)
    await pictures(page, 'hand-in-sheet')

    // The league's answer is noted; the game is off the list until it changes.
    await at('receipt').fill('Registrar, no. 12')
    await at('note').click()
    await expect(row).toHaveAttribute('data-open', 'false')
    await expect(row).toContainText('Receipt: Registrar, no. 12')
    await office.post(game, 'note', { text: 'A word after the seal' })
    await page.reload()
    await expect(row).toHaveAttribute('data-open', 'true')
    await expect(row).toContainText('Changed since it was handed in')

    // A whole week at once.
    await at('hand-week').click()
    await at('note').click()
    await expect(row).toHaveAttribute('data-open', 'false')
  } finally {
    await program.close()
  }
})
