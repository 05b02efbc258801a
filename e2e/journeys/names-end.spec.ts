import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { openGame } from '../harness/game.ts'
import { Hub } from '../harness/hub.ts'
import { Program } from '../harness/program.ts'

// Names of a sealed game end at a bench whose hub says so, after the report said when.

test('a report says when its names end, keeps them where somebody says so, and ends them when it is time', async ({ page }) => {
  const hub = await Hub.empty()
  let bench: Program | undefined
  const sizes = async (name: string) => {
    for (const [width, height] of [[390, 844], [1280, 800], [1920, 1080]] as const) {
      await page.setViewportSize({ width, height })
      await page.screenshot({ path: `test-results/names-end-${name}-${width}.png`, fullPage: width === 390 })
      const found = await violations(page)
      expect(found.filter((one) => !one.includes('.wide')), `${name} at ${width}`).toEqual([]) // the report's own tables scroll
      expect(await beyond(page), `${name} at ${width}`).toBeLessThanOrEqual(0)
    }
  }
  try {
    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await expect(page.locator('[data-hub=names-end]')).toHaveAttribute('data-on', 'yes') // an association that begins now
    await page.locator('[data-hub=names-end]').scrollIntoViewIfNeeded()
    await sizes('hub')
    await page.getByLabel('What the bench is called').fill('Saltworks Arena')
    await page.getByRole('button', { name: 'Pair a bench' }).click()
    const link = (await page.locator('[data-hub=link]').textContent()) ?? ''

    bench = await Program.empty()
    const games: string[] = []
    for (const _ of ['kept', 'ends']) {
      const game = await openGame(bench, 'harbour-u14')
      games.push(game)
      const over = { entries: [{
        specversion: '1.0', id: `${game.slice(0, -1)}${game.endsWith('0') ? '1' : '0'}`, source: `/game/${game}`, type: 'whistlestop.stage_begun.v1', time: new Date().toISOString(),
        seat: 'solo', data: { at: { period: 0, elapsed_ms: 0 }, body: { stage: { kind: 'over' }, length_ms: 0 } },
      }] }
      expect((await bench.ask('POST', `/games/${game}/entries`, JSON.stringify(over))).status).toBe(200)
      const sealed = await bench.ask('POST', `/games/${game}/seal`, '{"missing":"nobody signed"}')
      expect(sealed.status, sealed.text).toBe(200)
    }
    const [kept, ends] = games as [string, string]
    const texts = async (game: string) => (await bench!.ask('GET', `/games/${game}/ledger.jsonl`)).text.split('\n').filter((line) => line.includes('whistlestop.name.')).length
    expect(await texts(kept)).toBeGreaterThan(10)
    expect((await bench.ask('PUT', '/hub', JSON.stringify({ link }))).status).toBe(200)
    await expect.poll(async () => (await bench!.ask('GET', '/copies')).text).toContain('hubcopy.up_to_date')
    await bench.kill()
    bench = await bench.again() // a game that was entered into just now is on

    const says = page.locator('[data-report=names-end]')
    for (const game of [kept, ends]) {
      await expect.poll(async () => (await bench!.ask('GET', `/games/${game}/names-end`)).text, { timeout: 120_000 }).toContain('ends_ms')
    }
    await page.goto(`${bench.origin}/report/${kept}`)
    await expect(says).toHaveAttribute('data-state', 'ends')
    await expect(says).toContainText('30 days after a seal')
    await says.scrollIntoViewIfNeeded()
    await sizes('report')
    await page.locator('[data-report=keep-names]').click()
    await expect(says).toHaveAttribute('data-state', 'kept')

    // The bench was off until it was time.
    await bench.kill()
    const file = join(bench.data, 'hub.json')
    const noted = JSON.parse(await readFile(file, 'utf8')) as { ending: Record<string, { ends: number }> }
    for (const game of games) noted.ending[game]!.ends = 1
    await writeFile(file, JSON.stringify(noted))
    bench = await bench.again()
    await page.goto(`${bench.origin}/report/${ends}`)
    await expect.poll(() => texts(ends), { timeout: 120_000 }).toBe(0)
    await page.reload()
    await expect(says).toHaveAttribute('data-state', 'ended')
    await sizes('ended')
    expect(JSON.parse((await bench.ask('GET', `/games/${ends}/verify`)).text)).toMatchObject({ seals: [{ version: 1 }] })
    expect(await texts(kept)).toBeGreaterThan(10)
    await page.goto(`${bench.origin}/report/${kept}`)
    await expect(says).toHaveAttribute('data-state', 'kept')
  } finally {
    await bench?.close()
    await hub.close()
  }
})
