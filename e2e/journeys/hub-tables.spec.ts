import { expect, type Page } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'

async function looks(page: Page, name: string) {
  for (const [size, width, height] of [['phone', 390, 844], ['laptop', 1366, 768]] as const) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/hub-tables-${name}-${size}.png`, fullPage: true })
    expect(await violations(page), `${name} on a ${size}`).toEqual([])
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
}

test('a family sees its team’s season by the link, and everybody the tables while the association shows them: children by numbers', async ({ page, browser }) => {
  const { hub, follow } = await Hub.demo()
  try {
    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    const shown = page.locator('[data-hub=switch][data-switch=tables]')
    const tables = new URL((await shown.getByRole('link').getAttribute('href')) ?? '', hub.origin).href
    await shown.getByRole('button', { name: 'Turn off' }).click()
    await expect(shown).toHaveAttribute('data-on', 'no')

    // Not shown to everybody: the address opens nothing, and the team's link all that is the team's.
    const family = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await expect(async () => {
      expect((await family.goto(tables))?.status()).toBe(404)
    }).toPass()
    await family.goto(follow)
    await expect(family.locator('[data-team=table]').first()).toContainText('Kelp Bay')
    await expect(family.locator('[data-team=season-game]').first()).toBeVisible()
    await looks(family, 'team')

    // Turned on: every division, children by numbers and grown-ups by name.
    await shown.getByRole('button', { name: 'Turn on' }).click()
    await expect(shown).toHaveAttribute('data-on', 'yes')
    await expect(async () => {
      expect((await family.goto(tables))?.status()).toBe(200)
    }).toPass()
    await expect(family.locator('[data-hub=standings]')).toHaveCount(3)
    await looks(family, 'all')
    await family.goto(`${tables}?division=u14`)
    await expect(family.locator('[data-hub=skaters] tbody th').first()).toHaveText(/^#\d+$/)
    await family.goto(`${tables}?division=open`)
    await expect(family.locator('[data-hub=skaters] tbody th').first()).toHaveText(/^#\d+ \p{L}+/u)
    await looks(family, 'open')

    // What the association decides about games from older programs stands on the same page.
    const older = page.locator('[data-hub=older]')
    await expect(older).toHaveAttribute('data-older', 'refuse')
    await older.getByLabel('As they are, and the names go at once').check()
    await older.getByRole('button', { name: 'Keep this' }).click()
    await expect(older).toHaveAttribute('data-older', 'without')
    await looks(page, 'admin')
    await shown.getByRole('button', { name: 'Turn off' }).click()
    await expect(async () => {
      expect((await family.goto(tables))?.status()).toBe(404)
    }).toPass()
  } finally {
    await hub.close()
  }
})
