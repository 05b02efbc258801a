import { join } from 'node:path'
import { expect, type Page } from '@playwright/test'
import { Bench } from './bench.ts'
import { home, visitors } from './teams.ts'

// A bench in a browser alone.

/** Saves what a link of the report hands out. Returns the file. */
export async function saved(page: Page, link: string, folder: string): Promise<string> {
  const coming = page.waitForEvent('download')
  await page.locator(link).click()
  const file = await coming
  const path = join(folder, file.suggestedFilename())
  await file.saveAs(path)
  return path
}

/** Opens a game with pasted rosters on the list of games. */
export async function newGame(page: Page): Promise<Bench> {
  for (const [side, team] of [['home', home], ['visitors', visitors]] as const) {
    await page.locator(`[data-start=name-${side}]`).fill(team.name)
    await page.locator(`[data-start=roster-${side}]`).fill(team.roster)
  }
  await page.locator('[data-start=go]').click()
  const bench = new Bench(page)
  await expect(bench.at('page')).toBeVisible()
  return bench
}
