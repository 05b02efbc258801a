import { createRequire } from 'node:module'
import { readFileSync } from 'node:fs'
import type { Page } from '@playwright/test'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

interface Violation { id: string; help: string; nodes: { target: string[]; failureSummary: string }[] }

/** What an accessibility checker finds on a page: nothing, or one line for each. */
export async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axe)
  const found = await page.evaluate(async () => {
    const run = (window as unknown as { axe: { run: (o: object) => Promise<{ violations: Violation[] }> } }).axe.run
    return (await run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] })).violations
  })
  return found.flatMap((one) => one.nodes.map((node) => `${one.id}: ${one.help}: ${node.target.join(' ')}`))
}

/** How far something stands beyond the right edge of the page, in pixels. */
export function beyond(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
}
