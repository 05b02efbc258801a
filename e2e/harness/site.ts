import { execFile } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdtemp, readFile, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { expect, type Page } from '@playwright/test'

const binary = join(dirname(fileURLToPath(import.meta.url)), '../../bin/whistlestop')

/** Writes the practice site into a new folder, as people do it. Returns the folder. */
export async function writtenSite(...more: string[]): Promise<string> {
  const folder = join(await mkdtemp(join(tmpdir(), 'whistlestop-site-')), 'practice')
  const { stdout } = await promisify(execFile)(binary, ['practice', '--out', folder, ...more])
  expect(stdout).toContain(folder)
  return folder
}

/** Makes the site in a folder a newer version: its style ends with a mark. */
export async function newerSite(folder: string, mark: string): Promise<void> {
  const style = await readFile(join(folder, 'practice.css'), 'utf8')
  const newer = `${style}\n/* ${mark} */\n`
  await writeFile(join(folder, 'practice.css'), newer)
  const worker = await readFile(join(folder, 'sw.js'), 'utf8')
  expect(worker).toContain(sum(style))
  await writeFile(join(folder, 'sw.js'), worker.replace(sum(style), sum(newer)).replace(/"version":"\w+"/, `"version":"${mark}"`))
}

function sum(text: string): string {
  return createHash('sha256').update(text).digest('hex')
}

/** Waits until the engine runs in the page. */
export async function engineRuns(page: Page): Promise<void> {
  await expect(page.locator('html')).toHaveAttribute('data-engine', 'ready')
}

/** Waits until the browser has the whole site for itself. */
export async function siteIsKept(page: Page): Promise<void> {
  await expect(page.locator('html')).toHaveAttribute('data-kept', 'true', { timeout: 30_000 })
}

/** Begins a drill on the page and plays its first seconds: the engine answers, the real bench is there. */
export async function beginDrill(page: Page): Promise<void> {
  await page.evaluate(() => (location.hash = '#play/drill-start-stop/solo/fast'))
  await expect(page.locator('[data-practice=page]')).toBeVisible()
  await page.locator('[data-practice=go]').click()
  await expect(page.locator('[data-practice=waiting]')).toBeHidden()
  await expect(page.locator('[data-bench=clock]')).toBeVisible()
  const before = Number(await page.locator('[data-practice=page]').getAttribute('data-seq'))
  await page.waitForTimeout(2_700) // so long the beginning of the period, by another hand, stands against a start
  await page.keyboard.press('F2') // early, so a slip: but an entry that the engine took
  await expect.poll(async () => Number(await page.locator('[data-practice=page]').getAttribute('data-seq'))).toBeGreaterThan(before)
}
