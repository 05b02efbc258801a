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
    await page.reload()

    // Another ladder and other points: the tables before and after are said, then it is kept.
    await group('How teams are ranked').click()
    await expect(input('standings/0/procedure')).toHaveValue('usah-nationals')
    await input('standings/0/procedure').selectOption('iihf')
    await input('points/regulation_win').fill('0')
    await input('points/regulation_win').blur()
    await input('points/regulation_loss').fill('2')
    await input('points/regulation_loss').blur()
    await group('Rinks').click()
    await input('rink/1/name').fill('Ropewalk "Old" Rink')
    await input('rink/1/name').blur()
    await at('form-look').click()
    await expect(at('form-seen')).toContainText('procedure = "iihf"')
    await expect(at('form-seen')).toContainText('Under 14 then: Lanternside')
    await pictures(page, 'form')
    expect(await readFile(file, 'utf8')).toBe(before)
    await at('form-keep').click()
    await expect(page.locator('[data-season="text-league"]')).toHaveValue(/procedure = "iihf"/)

    const after = await readFile(file, 'utf8')
    expect(after.split('#').length).toBe(before.split('#').length)
    expect(after).toContain('name = "Ropewalk \\"Old\\" Rink"')
    expect(await readFile(join(program.data, 'league', 'league-before.toml'), 'utf8')).toBe(before)
  } finally {
    await program.close()
  }
})
