import { createRequire } from 'node:module'
import { readFileSync } from 'node:fs'
import { type Page, expect, test } from '@playwright/test'
import { Program } from '../harness/program.ts'

// An accessibility pass over every screen, in the middle of a game.

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

interface Violation { id: string; help: string; nodes: { target: string[]; failureSummary: string }[] }

async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axe)
  const found = await page.evaluate(async () => {
    const run = (window as unknown as { axe: { run: (o: object) => Promise<{ violations: Violation[] }> } }).axe.run
    return (await run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] })).violations
  })
  return found.flatMap((one) => one.nodes.map((node) => `${one.id}: ${one.help}: ${node.target.join(' ')}`))
}

let program: Program
test.beforeAll(async () => {
  program = await Program.demo('third-period')
})
test.afterAll(() => program.close())

for (const screen of [
  { name: 'bench', address: () => program.bench, ready: '[data-bench=page]' },
  { name: 'Wall', address: () => program.wall, ready: '[data-wall=clock]' },
  { name: 'list of games', address: () => program.origin, ready: 'main' },
]) {
  test(`${screen.name}: nothing that keeps people out`, async ({ page }) => {
    await page.goto(screen.address())
    await page.locator(screen.ready).first().waitFor()
    expect(await violations(page)).toEqual([])
  })
}

test('bench: nothing that keeps people out while a penalty is built', async ({ page }) => {
  await page.goto(program.bench)
  await page.locator('[data-bench=kind-penalty]').click()
  await page.locator('[data-bench=side-home]').click()
  await page.locator('[data-bench=number]').first().click()
  expect(await violations(page)).toEqual([])
})
