import { expect, test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { Program } from '../harness/program.ts'
import { newGame } from '../harness/start.ts'
import { home, visitors } from '../harness/teams.ts'

let program: Program
test.beforeEach(async () => {
  program = await Program.empty()
})
test.afterEach(() => program.close())

test('a new game from pasted rosters', async ({ page }) => {
  const bench = new Bench(page)
  const id = await newGame(bench, program, 'Under 14')
  await bench.beginCall('goal', 'visitors')
  const numbers = await page.locator('[data-bench=number]').evaluateAll((all) => all.map((one) => one.getAttribute('data-number')))
  const pasted = visitors.roster.split('\n').map((line) => line.split(' ')[0])
  expect(numbers.toSorted()).toEqual(pasted.toSorted())
  await expect(page.getByRole('button', { name: /8.*Max Ivory/ })).toBeVisible()

  // It stands in the list of games, and the addresses without an id lead to it.
  await page.goto(program.origin)
  await expect(page.locator(`[data-start=game][data-game="${id}"]`)).toContainText(home.name)
  await page.goto(program.wall)
  await expect(page.locator('[data-wall=page]')).toContainText(visitors.name)
})

test('a roster with a line that makes no sense is named, with its line', async ({ page }) => {
  await page.goto(program.origin)
  await page.locator('[data-start=roster-home]').fill(`${home.roster}\nsee the sheet\n12 Twice Again`)
  const troubles = page.locator('[data-start=trouble-line]')
  await expect(troubles).toHaveCount(2)
  await expect(troubles.nth(0)).toHaveAttribute('data-line', '10')
  await expect(troubles.nth(1)).toContainText('12')
})

test('without a team name no game is opened, and the page says what is missing', async ({ page }) => {
  await page.goto(program.origin)
  await page.locator('[data-start=name-home]').fill(home.name)
  await page.locator('[data-start=go]').click()
  await expect(page.locator('[data-start=trouble]')).not.toBeEmpty()
  await expect(page.locator('[data-start=page]')).toBeVisible()
})
