import { readFile } from 'node:fs/promises'
import { expect, test } from '@playwright/test'
import { ledgerOf, textsOf } from '../harness/game.ts'
import { Program } from '../harness/program.ts'
import { leagueFile, Office, pictures, playShort, team, type Scheduled } from '../harness/season.ts'

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
    // How far from the best it can be: its cost, and what no schedule of these games on this ice can cost less than.
    const { cost, bound } = await office.ask<{ cost: number; bound: number }>('/season/schedule', { seed: 1, replace: true })
    expect(bound).toBeLessThanOrEqual(cost)
    await expect(at('made')).toContainText(cost === bound
      ? `27 games. Cost ${cost}; no schedule of these games on this ice costs less.`
      : `27 games. Cost ${cost}; no schedule of these games on this ice costs less than ${bound}, so a better one could save ${cost - bound} at most.`)
    // A schedule that is made anew has other games, with ids of their own.
    await page.reload()
    await at('to-schedule').click()
    const [first, next] = await office.games()
    if (!first || !next) throw new Error('the team has no two games')
    const row = page.locator(`[data-season=game][data-game="${next.id}"]`)
    await row.locator('[data-season=change]').click()
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
    const { game, call } = await playShort(office, first)
    const side = (one: Scheduled) => (one.home === team ? 'home' : 'visitors')

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
    await expect(page.locator('[data-season=leaders][data-by=points] li').first()).toContainText('1 Alva Reed')
    await pictures(page, 'figures')
    await at('to-suspended').click()
    await expect(at('suspended')).toContainText('Tove Marsh')

    // The call was another one: what the correction changed is listed.
    await office.post(game, 'amended', { kind: 'penalty', body: { side: side(first), player: '17', call: 'boarding', parts: ['minor'] } }, { of: call })
    await page.reload()
    await expect(at('amended').filter({ hasText: 'Tove Marsh' }).first()).toBeVisible()
    await pictures(page, 'suspended')

    // The season to take along: the book as a file, and the page with numbers for names.
    await at('to-files').click()
    const [book] = await Promise.all([page.waitForEvent('download'), at('export.pdf').click()])
    expect(book.suggestedFilename()).toBe('season.pdf')
    const taken = await page.request.get(`${program.origin}/api/season/export.html`)
    expect(await taken.text()).not.toContain('Tove Marsh')
    await at('export-names').selectOption('yes')
    await expect(at('export.html')).toHaveAttribute('href', '/api/season/export.html?names=yes')
    expect(await (await page.request.get(`${program.origin}/api/season/export.html?names=yes`)).text()).toContain('Tove Marsh')

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
