import { readFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, type Page, test } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { ledgerOf, textsOf, ulid } from '../harness/game.ts'
import { Program } from '../harness/program.ts'

const leagueFile = join(dirname(fileURLToPath(import.meta.url)), '../../testdata/league/harbour.toml')
const sizes = [['phone', 390, 844], ['laptop', 1366, 768], ['tv', 1920, 1080]] as const
const team = 'millrace-u14'

interface Scheduled { id: string; home: string; visitors: string; place?: { day: string; start: string } }

/** The API of a bench, asked as its own computer does. */
class Office {
  constructor(readonly program: Program) {}

  async ask<T>(path: string, body?: unknown, method = body === undefined ? 'GET' : 'POST'): Promise<T> {
    const answer = await fetch(`${this.program.origin}/api${path}`, {
      method, ...(body === undefined ? {} : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
    })
    if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`)
    return (await answer.json()) as T
  }

  /** The games of the team by time. */
  async games(): Promise<Scheduled[]> {
    const { games } = await this.ask<{ games: Scheduled[] }>(`/season/schedule?team=${team}`)
    const key = (one: Scheduled) => `${one.place?.day} ${one.place?.start}`
    return games.filter((one) => one.place).sort((a, b) => (key(a) < key(b) ? -1 : 1))
  }

  /** Posts one thing that happened, and gives its entry's id. */
  async post(game: string, kind: string, body: object, more: { elapsed_ms?: number; of?: string } = {}): Promise<string> {
    const id = ulid()
    await this.ask(`/games/${game}/entries`, { entries: [{
      specversion: '1.0', id, source: `/game/${game}`, type: `whistlestop.${kind}.v1`, time: new Date().toISOString(), seat: 'solo',
      ...(more.of ? { of: more.of } : {}), data: { at: { period: more.elapsed_ms === undefined ? 0 : 1, elapsed_ms: more.elapsed_ms ?? 0 }, body },
    }] })
    return id
  }
}

const roster = (name: string) => ({ name, players: [{ number: '30', name: `${name} Keeper`, goalkeeper: true }, { number: '4', name: 'Alva Reed' }, { number: '17', name: 'Tove Marsh' }] })
const others = { name: 'Others', players: [{ number: '31', name: 'Other Keeper', goalkeeper: true }, { number: '9', name: 'Runa Falk' }] }

async function pictures(page: Page, name: string) {
  for (const [size, width, height] of sizes) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/season-${name}-${size}.png`, fullPage: true })
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
  for (const scheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: scheme })
    expect(await violations(page), `${name}, ${scheme}`).toEqual([])
  }
  await page.setViewportSize({ width: 1366, height: 768 })
}

test('a season from the league file to the suspension: put in, scheduled, moved, played, refused, let play, corrected', async ({ page }) => {
  const program = await Program.empty()
  const office = new Office(program)
  const at = (name: string) => page.locator(`[data-season="${name}"]`)
  const start = (name: string) => page.locator(`[data-start="${name}"]`)
  try {
    // The coordinator puts the league in. What is wrong is said with its line, and nothing is kept.
    const good = await readFile(leagueFile, 'utf8')
    await page.goto(`${program.origin}/season`)
    await at('choose').setInputFiles({ name: 'wrong.toml', mimeType: 'text/plain', buffer: Buffer.from(good.replace('"saturday"', '"caturday"')) })
    const line = good.slice(0, good.indexOf('"saturday"')).split('\n').length
    await expect(at('finding')).toHaveAttribute('data-line', String(line))
    await at('keep-league').click()
    await expect(at('said-league')).toContainText('not kept')
    await at('choose').setInputFiles(leagueFile)
    await expect(at('finding')).toHaveCount(0)
    await at('keep-league').click()
    await expect(at('to-schedule')).toBeVisible()
    await pictures(page, 'file')

    // The schedule is made, and a game is moved after its preview.
    await at('to-schedule').click()
    await at('make').click()
    await expect(at('made')).toContainText('kept')
    const [first, next] = await office.games()
    if (!first || !next) throw new Error('the team has no two games')
    const row = page.locator(`[data-season=game][data-game="${next.id}"]`)
    await row.getByRole('button').click()
    await at('day').fill('2026-12-26')
    await at('why').fill('heating')
    await at('look').click()
    await expect(at('touches')).toContainText('nobody plays that day (Winter break)')
    await pictures(page, 'change')
    await at('state').selectOption('postponed')
    await at('look').click()
    await expect(at('touches')).toContainText('nothing else')
    await page.locator('[data-bench=change-close]').click()
    await expect(row).toHaveAttribute('data-state', 'scheduled')
    await pictures(page, 'schedule')

    // A very short game, from the schedule to the seal.
    const game = ulid()
    const sides = (one: Scheduled) => (one.home === team ? { home: roster('Millrace'), visitors: others } : { home: others, visitors: roster('Millrace') })
    const side = (one: Scheduled) => (one.home === team ? 'home' : 'visitors')
    await office.ask(`/season/schedule/${first.id}/open`, { id: game, ...sides(first) })
    await office.post(game, 'stage_begun', { stage: { kind: 'period', number: 1 }, length_ms: 720_000 })
    await office.post(game, 'goal', { side: side(first), scorer: '4', assists: [] }, { elapsed_ms: 60_000 })
    const call = await office.post(game, 'penalty', { side: side(first), player: '17', call: 'boarding', parts: ['major', 'game_misconduct'] }, { elapsed_ms: 120_000 })
    await office.post(game, 'stage_begun', { stage: { kind: 'over' }, length_ms: 0 })
    await office.ask(`/games/${game}/seal`, { missing: 'a very short game' })

    // Tonight's game: the suspended player is named, refused in the line-up, and let play with a note.
    await page.goto(`${program.origin}/`)
    await start('find-scheduled').fill(next.id)
    await page.locator(`[data-start=scheduled][data-game="${next.id}"]`).last().getByRole('button').click()
    await expect(start('out')).toContainText('Tove Marsh')
    await page.locator(`[data-start=lineup] [data-start="roster-${side(next)}"]`).fill('30 Millrace Keeper G\n4 Alva Reed\n17 Tove Marsh')
    await page.locator(`[data-start=lineup] [data-start="name-${side(next)}"]`).fill('Millrace')
    await start('open-scheduled').click()
    await expect(page.locator('label', { has: start('plays-note') })).toContainText('Tove Marsh')
    await pictures(page, 'lineup')
    await start('plays-note').fill('The league cleared it on the telephone')
    await start('open-scheduled').click()
    await page.waitForURL(/\/bench\//)
    const opened = page.url().split('/').at(-1) ?? ''
    const note = (await ledgerOf(program, opened)).find((one) => one.includes('"suspended_play"'))
    expect(note).toContain('"player":"17"')
    expect([...(await textsOf(program, opened)).values()]).toContain('The league cleared it on the telephone')

    // Table, suspensions and figures follow by themselves.
    await page.goto(`${program.origin}/season#tables`)
    await expect(page.locator(`[data-season=line][data-team="${team}"] td`).last()).not.toHaveText('0')
    await at('if-division').selectOption('u14')
    await page.locator(`[data-season=if-home][data-game="${next.id}"]`).fill('2')
    await page.locator(`[data-season=if-visitors][data-game="${next.id}"]`).fill('1')
    await at('if-look').click()
    await expect(at('chances').locator('li')).toHaveCount(4)
    await pictures(page, 'tables')
    await at('to-figures').click()
    await expect(at('skater').first()).toContainText('Alva Reed')
    await pictures(page, 'figures')
    await at('to-suspended').click()
    await expect(at('suspended')).toContainText('Tove Marsh')

    // The call was another one: what the correction changed is listed.
    await office.post(game, 'amended', { kind: 'penalty', body: { side: side(first), player: '17', call: 'boarding', parts: ['minor'] } }, { of: call })
    await page.reload()
    await expect(at('amended').filter({ hasText: 'Tove Marsh' }).first()).toBeVisible()
    await pictures(page, 'suspended')

    // A parent's page on a phone.
    await page.setViewportSize({ width: 390, height: 844 })
    await at('to-team').click()
    await at('team').selectOption(team)
    await expect(at('next')).toContainText('Millrace')
    await page.reload()
    await expect(at('team')).toHaveValue(team)
    await expect(at('results')).toContainText('Millrace')
    await pictures(page, 'team')
  } finally {
    await program.close()
  }
})
