import { expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import type { Program } from './program.ts'
import { home, visitors } from './teams.ts'

/** Opens a game from the first page, with both rosters pasted. Returns its id. */
export async function newGame(bench: Bench, program: Program, division: string): Promise<string> {
  const { page } = bench
  await page.goto(program.origin)
  const choice = page.locator('[data-start=division]')
  const label = await choice.locator('option').filter({ hasText: division }).first().textContent()
  await choice.selectOption({ label: label ?? division })
  for (const [side, team] of [['home', home], ['visitors', visitors]] as const) {
    await page.locator(`[data-start=name-${side}]`).fill(team.name)
    await page.locator(`[data-start=roster-${side}]`).fill(team.roster)
  }
  await page.locator('[data-start=go]').click()
  await expect(bench.at('page')).toBeVisible()
  const id = new URL(page.url()).pathname.split('/').at(-1) ?? ''
  expect(id).toHaveLength(26)
  return id
}
