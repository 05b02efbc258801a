import { execFile } from 'node:child_process'
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { expect, type Page } from '@playwright/test'
import type { Behind } from './behind.ts'
import { Bench } from './bench.ts'
import type { WallPage } from './fixtures.ts'
import { binary } from './program.ts'
import { home, visitors } from './teams.ts'

// A bench in a browser alone.

declare global {
  // What the bench leaves in its thread.
  var whistlestopBench: { ask(method: string, path: string, body: Uint8Array, device: null, answered: (status: number, media: string, name: string, body: Uint8Array) => void): void }
}

/** Saves what a link of the report hands out. Returns the file. */
export async function saved(page: Page, link: string, folder: string): Promise<string> {
  const coming = page.waitForEvent('download')
  await page.locator(link).click()
  const file = await coming
  const path = join(folder, file.suggestedFilename())
  await file.saveAs(path)
  return path
}

/** Opens a game with pasted rosters on the list of games; of the usual division there, if none is named. */
export async function newGame(page: Page, { division = '', hosts = home } = {}): Promise<Bench> {
  if (division !== '') await page.locator('[data-start=division]').selectOption(division)
  for (const [side, team] of [['home', hosts], ['visitors', visitors]] as const) {
    await page.locator(`[data-start=name-${side}]`).fill(team.name)
    await page.locator(`[data-start=roster-${side}]`).fill(team.roster)
  }
  await page.locator('[data-start=go]').click()
  const bench = new Bench(page)
  await expect(bench.at('page')).toBeVisible()
  return bench
}

/** Opens the Wall of a game that lies in this browser, in a window of its own. */
export async function wallWindow(page: Page): Promise<WallPage> {
  const [wall] = await Promise.all([page.context().waitForEvent('page'), page.locator('a[href^="/wall/"]').first().click()])
  await wall.setViewportSize({ width: 1920, height: 1080 })
  await expect(wall.locator('[data-wall=clock]')).toBeVisible()
  return {
    page: wall,
    at: (name) => wall.locator(`[data-wall="${name}"]`),
    bars: (side) => wall.locator(`[data-wall=bar][data-side=${side}]`),
  }
}

/** The game that the page shows, sealed, as PDF and as ledger: the program finds the ledger whole, and writes the same PDF from it. */
export async function sameOnPaper(page: Page, files: string): Promise<void> {
  const pdf = await saved(page, '[data-file="report.pdf"]', files)
  const ledger = await saved(page, 'a[href$="ledger.jsonl"]', files)
  const run = promisify(execFile)
  const { stdout } = await run(binary, ['verify', ledger, '--data', files])
  expect(stdout).toContain('are as they were written')
  const own = join(files, 'own.pdf')
  await run(binary, ['report', ledger, `--out=${own}`])
  expect((await readFile(pdf)).equals(await readFile(own)), 'the same PDF, byte by byte').toBe(true)
}

/** The page's bench behind its back: what a worker asks for the page, asked from here. */
export function threadOf(page: Page): Behind {
  return {
    async ask(method, path, body = '') {
      const [thread] = page.workers()
      if (!thread) throw new Error('the bench has no thread')
      return thread.evaluate(([how, where, what]) => new Promise((resolve) => {
        whistlestopBench.ask(how, where, new TextEncoder().encode(what), null, (status, _media, _name, answer) => resolve({ status, text: new TextDecoder().decode(answer) }))
      }), [method, path, body] as const)
    },
  }
}

/** Which game the page shows. */
export function shownGame(page: Page): string {
  return new URL(page.url()).hash.split('/')[1] ?? ''
}
