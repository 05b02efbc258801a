import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, test } from '@playwright/test'
import { Program } from '../harness/program.ts'
import { pictures, seasoned } from '../harness/season.ts'

test('the league file as a form: what a change does is said before it is kept, notes stay, and what is wrong has its line', async ({ page }) => {
  const program = await Program.empty()
  const at = (name: string) => page.locator(`[data-season="${name}"]`)
  const input = (name: string) => page.locator(`[data-form="${name}"]`)
  const group = (name: string) => page.locator('summary', { hasText: name })
  try {
    await seasoned(program)
    const file = join(program.data, 'league', 'league.toml')
    const before = await readFile(file, 'utf8')
    await page.goto(`${program.origin}/season#files`)

    // A team without a rink of the league is refused with the line; nothing is kept.
    await group('Divisions and teams').click()
    await input('division/0/team').fill('kelp-bay-u12, Kelp Bay, nowhere\nlanternside-u12, Lanternside\nmillrace-u12, Millrace\nnorthmole-u12, Northmole')
    await input('division/0/team').blur()
    await at('form-look').click()
    await expect(at('form-finding')).toContainText('nowhere')
    await expect(at('form-finding')).not.toHaveAttribute('data-line', '0')
    await expect(input('division/0/team')).toBeFocused()
    await expect(input('division/0/team')).toBeInViewport()
    await page.reload()

    // A rink that ice slots, teams and games name is not taken away: what names it is said, and it can be put back.
    await group('Rinks').click()
    await at('take-rink-1').click()
    await at('form-look').click()
    await expect(at('form-finding')).toContainText('Ropewalk Rink cannot be taken away yet')
    await expect(at('form-finding')).toContainText('rows of ice slots (1); the home of Millrace, Millrace; drive times of Saltworks Arena')
    await expect(page.locator('[data-row="rink/1"]')).toBeFocused()
    await pictures(page, 'form-taken')
    await at('back-rink-1').click()

    // One that nothing names goes, with what was added to it in the meantime.
    await at('add-rink').click()
    await expect(input('rink/2/id')).toBeFocused()
    await input('rink/2/id').fill('mole')
    await input('rink/2/name').fill('Mole Rink')
    await input('rink/2/name').blur()
    await at('take-rink-2').click()
    await group('Days off').click()
    await at('take-closed-0').click()
    await at('form-look').click()
    await expect(at('form-seen')).toContainText('What is different in the season')
    await at('form-keep').click()
    await expect(page.locator('[data-season="text-league"]')).not.toHaveValue(/Winter break/)
    const shorter = await readFile(file, 'utf8')
    expect(shorter).not.toContain('Mole Rink')
    expect(shorter).toContain('# How teams are ranked.')

    // A division ranks in a way of its own, which begins as the league's; then as the league again.
    await group('Divisions and teams').click()
    await at('own-ranking-0').click()
    await page.locator('[data-row="division/0"] summary').click()
    await expect(input('division.standings/0/procedure')).toHaveValue('usah-nationals')
    await input('division/0/earliest').fill('08:00')
    await input('division.standings/0/procedure').selectOption('')
    await expect(input('division.standings.own/0/two')).toHaveValue(/^h2h.pts, h2h.w/)
    await at('form-look').click()
    await expect(at('form-seen')).toContainText('[division.standings.own]')
    await expect(at('form-seen')).toContainText('earliest = "08:00"')
    await pictures(page, 'form-division')
    await at('as-league-0').click()
    await at('form-look').click()
    await expect(at('form-seen')).not.toContainText('[division.standings.own]')
    await page.reload()

    // Another ladder and other points: the tables before and after are said, then it is kept.
    await group('How teams are ranked').click()
    await expect(input('standings/0/procedure')).toHaveValue('usah-nationals')
    await input('standings/0/procedure').selectOption('iihf')
    const points = (way: string) => page.locator(`[data-points="standings/0/${way}"]`)
    await expect(points('regulation_win')).toHaveValue('3')
    await points('regulation_win').fill('0')
    await points('regulation_win').blur()
    await expect(points('overtime_win')).toHaveValue('2')
    await points('regulation_loss').fill('2')
    await points('regulation_loss').blur()
    await group('Rinks').click()
    await input('rink/1/name').fill('Ropewalk "Old" Rink')
    await input('rink/1/name').blur()
    await at('form-look').click()
    await expect(at('form-seen')).toContainText('procedure = "iihf"')
    await expect(at('form-seen')).toContainText('Under 14 then: Lanternside')
    await pictures(page, 'form')
    expect(await readFile(file, 'utf8')).toBe(shorter)
    await at('form-keep').click()
    await expect(page.locator('[data-season="text-league"]')).toHaveValue(/procedure = "iihf"/)

    const after = await readFile(file, 'utf8')
    expect(after.split('#').length).toBe(before.split('#').length)
    expect(after).toContain('points = { draw = 1, overtime_loss = 1, overtime_win = 2, regulation_loss = 2, shoot_out_loss = 1, shoot_out_win = 2 }')
    expect(after).toContain('name = "Ropewalk \\"Old\\" Rink"')
    expect(await readFile(join(program.data, 'league', 'league-before.toml'), 'utf8')).toBe(shorter)
  } finally {
    await program.close()
  }
})

test('a ladder says what it does, and the league’s own book of suspensions begins as a ready-made one, rule by rule, and goes again', async ({ page }) => {
  const program = await Program.empty()
  const at = (name: string) => page.locator(`[data-season="${name}"]`)
  const input = (name: string) => page.locator(`[data-form="${name}"]`)
  const group = (name: string) => page.locator('summary', { hasText: name })
  try {
    await seasoned(program)
    await page.goto(`${program.origin}/season#files`)

    // A ladder that is ready says in sentences what it does.
    await group('How teams are ranked').click()
    await input('standings/0/procedure').selectOption('usah-nationals')
    await expect(page.locator('[data-season=form-standings] [data-season=ladder]')).toContainText('First by points. Equal teams: in the games among them points, wins, wins in the periods, goal difference (8 a game at most)')
    await page.reload()

    // The league's own book of suspensions begins as the one that was chosen, with the league's answers; each rule is a row.
    await group('Suspensions').click()
    await expect(input('suspensions/0/book')).toHaveValue('usah')
    await input('suspensions/0/book').selectOption('')
    const rules = page.locator('[data-row^="suspensions.own.trigger/"]')
    await expect(rules).toHaveCount(9)
    await rules.first().locator('summary').click()
    await expect(rules.first().locator('summary')).toHaveText('404(b): games 1')
    await input('suspensions.own.trigger/0/games').fill('2')
    await input('suspensions.own.trigger/0/games').blur()
    await expect(rules.first().locator('summary')).toHaveText('404(b): games 2')
    await at('add-rule').click()
    await expect(input('suspensions.own.trigger/9/why')).toBeFocused()
    await input('suspensions.own.trigger/9/why').fill('7.1')
    await input('suspensions.own.trigger/9/minutes').fill('20')
    await input('suspensions.own.trigger/9/games').fill('1')
    await input('suspensions.own.trigger/9/games').blur()

    // A rule that goes by the league's list says that there is none, until the list is there.
    await at('add-rule').click()
    await input('suspensions.own.trigger/10/why').fill('7.2')
    await input('suspensions.own.trigger/10/listed').selectOption('true')
    await expect(at('list-empty')).toBeVisible()
    await input('suspensions.own/0/least').fill('boarding 2, spearing 4')
    await input('suspensions.own/0/least').blur()
    await expect(at('list-empty')).toHaveCount(0)
    await pictures(page, 'form-book')
    await at('form-look').click()
    await expect(at('form-seen')).toContainText('[[suspensions.own.trigger]]')
    await expect(at('form-seen')).toContainText('least = { boarding = 2, spearing = 4 }')
    await at('form-keep').click()
    await expect(page.locator('[data-season="text-league"]')).toHaveValue(/\[suspensions\.own\.serving\]/)
    await page.reload()

    // And it goes again, whole, for a ready-made one, which says what it answers to each question.
    await group('Suspensions').click()
    await expect(rules).toHaveCount(11)
    await input('suspensions/0/book').selectOption('hc-ontario-alliance')
    await expect(rules).toHaveCount(0)
    await expect(input('suspensions.serving/0/elsewhere').locator('option').first()).toHaveText('as the book says: no game at all')
    await pictures(page, 'form-book-ready')
    await at('form-look').click()
    await at('form-keep').click()
    await expect(page.locator('[data-season="text-league"]')).not.toHaveValue(/suspensions\.own/)
  } finally {
    await program.close()
  }
})
