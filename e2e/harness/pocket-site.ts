import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { expect, type Page, test as base } from '@playwright/test'
import { Host } from './host.ts'
import { writtenSite } from './site.ts'

/** A site on a host, with a folder for what is saved. The list of games is open, and the site is kept. */
export const test = base.extend<{ games: Page; files: string; host: Host }>({
  host: async ({}, use) => {
    const site = await writtenSite()
    const host = await Host.open(site)
    await use(host)
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  },
  files: async ({}, use) => {
    const files = await mkdtemp(join(tmpdir(), 'whistlestop-saved-'))
    await use(files)
    await rm(files, { recursive: true, force: true })
  },
  games: async ({ page, host }, use) => {
    await page.goto(`${host.address}#game`)
    await expect(page.locator('[data-pocket=page]')).toHaveAttribute('data-offline', 'true')
    await use(page)
  },
})
