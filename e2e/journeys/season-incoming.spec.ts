import { execFileSync } from 'node:child_process'
import { mkdtemp, readFile, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from '@playwright/test'
import { binary, Program } from '../harness/program.ts'
import { leagueFile, Office, pictures } from '../harness/season.ts'

test('games that somebody else scheduled: a table and a calendar are read, looked at, and taken into the schedule', async ({ page }) => {
  const program = await Program.empty()
  const office = new Office(program)
  const at = (name: string) => page.locator(`[data-season="${name}"]`)
  const sheet = page.locator('[data-bench=incoming-overlay]')
  try {
    await office.ask('/season/league', { text: await readFile(leagueFile, 'utf8') }, 'PUT')
    await office.ask('/season/schedule', { seed: 1 })
    const games = await office.games()
    const [moved, other] = games
    if (!moved || !other) throw new Error('the team has no two games')
    await page.goto(`${program.origin}/season#schedule`)
    await page.getByRole('button', { name: 'Read a file' }).click()

    // A table with a game that moved, a new one, a day that can be read in two ways, and a column that says nothing.
    const table = [
      'Game,Home,Visitors,Date,Time,Rink,Weather',
      `${moved.id},${moved.home},${moved.visitors},2026-12-26,10:00,Saltworks Arena,cold`,
      `${other.id},${other.home},${other.visitors},03/04/2026,10:00,Saltworks Arena,`,
      'u14-099,kelp-bay-u14,millrace-u14,2027-03-20,11:00,Ropewalk Rink,',
    ].join('\n')
    await at('schedule-file').setInputFiles({ name: 'from the league.csv', mimeType: 'text/csv', buffer: Buffer.from(table) })
    await expect(at('incoming-changed')).toContainText('Sat 26 Dec')
    await expect(at('incoming-fresh')).toContainText('Kelp Bay – Millrace')
    await expect(at('incoming-wrong')).toContainText('Line 3: "03/04/2026"')
    await expect(at('incoming-wrong')).toContainText('Weather')
    await expect(sheet).toContainText('Date as day')
    await expect(sheet).toContainText('nobody plays that day (Winter break)')
    await pictures(page, 'incoming')
    const row = page.locator(`[data-season=game][data-game="${moved.id}"]`)
    await page.locator('[data-bench=incoming-close]').click()
    await expect(row).not.toContainText('26 Dec')

    await at('schedule-file').setInputFiles({ name: 'from the league.csv', mimeType: 'text/csv', buffer: Buffer.from(table) })
    await at('take').click()
    await expect(at('schedule-said')).toContainText('in the schedule')
    await expect(row).toContainText('Sat 26 Dec')
    await expect(row).toContainText('read again from from the league.csv')
    await expect(page.locator('[data-season=game][data-game="u14-099"]')).toBeVisible()

    // The calendar that the season itself gives out says the same as the schedule.
    const folder = await mkdtemp(join(tmpdir(), 'season-'))
    const kept = join(folder, 'kept')
    await writeFile(kept, await readFile(join(program.data, 'league', 'schedule.json')))
    const calendar = execFileSync(binary, ['season', 'export', leagueFile, kept, '--as', 'ics'])
    await page.getByRole('button', { name: 'Read a file' }).click()
    await at('schedule-file').setInputFiles({ name: 'league.ics', mimeType: 'text/calendar', buffer: calendar })
    await expect(sheet).toContainText('Nothing would change')
    await page.locator('[data-bench=incoming-close]').click()

    // What is no table says so, and nothing is lost.
    await at('schedule-file').setInputFiles({ name: 'games.xlsx', mimeType: 'application/zip', buffer: Buffer.from('no workbook') })
    await expect(at('incoming-wrong').locator('li')).toHaveCount(1)
  } finally {
    await program.close()
  }
})
