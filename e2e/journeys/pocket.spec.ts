import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { expect, test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { Host } from '../harness/host.ts'
import { Killable } from '../harness/killed.ts'
import { newGame, saved } from '../harness/pocket.ts'
import { writtenSite } from '../harness/site.ts'

// A real game with nothing installed: on the site from a plain web host, whose network
// goes away, in a browser that is killed in the middle.

const binary = join(dirname(fileURLToPath(import.meta.url)), '../../bin/whistlestop')

const inZone = { ...process.env, TZ: 'America/St_Johns' } // three and a half hours behind, half the year

test('a whole game without a network, over a kill of the browser, sealed, printed and verified', async ({ launchOptions }) => {
  test.setTimeout(240_000)
  const site = await writtenSite()
  const files = await mkdtemp(join(tmpdir(), 'whistlestop-saved-'))
  const host = await Host.open(site, '/club/')
  const browser = await Killable.make({ ...launchOptions, env: inZone, viewport: { width: 1366, height: 768 } })
  try {
    let page = await browser.start()
    const bare = browser.memory()
    page.setDefaultTimeout(60_000)
    const troubles: string[] = []
    const watch = () => page.on('pageerror', (error) => troubles.push(error.message))
    watch()
    await page.goto(host.address)
    await page.locator('[data-pocket=door]').click()
    const bench = page.locator('[data-pocket=page]')
    await expect(page.locator('[data-pocket=copies]')).toBeVisible({ timeout: 60_000 })
    await expect(bench).toHaveAttribute('data-offline', 'true', { timeout: 60_000 })
    console.log(`the whole site: ${host.bytes} bytes from a host that packs nothing, ${host.packed} from one that packs`)
    expect(host.packed).toBeLessThan(3_600_000)

    // From here on there is no network.
    await host.close()
    await page.reload()
    let at = await newGame(page)
    await at.begin('1st period')
    await at.startClock()
    await at.stopClock()
    await at.tapGoal('home', '9', [])
    await at.startClock()
    const before = await at.seq()
    const address = page.url()
    await browser.kill()

    page = await browser.start()
    page.setDefaultTimeout(60_000)
    watch()
    at = new Bench(page)
    await page.goto(address)
    await expect(at.at('page')).toBeVisible({ timeout: 60_000 })
    await expect.poll(() => at.seq()).toBeGreaterThan(before) // that the time is doubted is an entry of its own
    await expect(page.locator('[data-key^="doubt/"]').first()).toBeVisible()
    await expect(at.line('Goal')).toContainText('9')
    await expect(at.at('clock')).toHaveAttribute('data-running', 'false')
    await at.at('hold').first().locator('[data-bench=settle]').filter({ hasText: "computer's clock" }).click()
    await expect(page.locator('[data-key^="doubt/"]')).toHaveCount(0)
    await at.begin('End')

    await page.evaluate(() => (location.hash += '/report'))
    const report = (name: string) => page.locator(`[data-report="${name}"]`)
    await expect(report('page')).toBeVisible()
    await report('missing').fill('A short game, played to look at the bench.')
    await report('seal').click()
    await expect(report('page')).toHaveAttribute('data-sealed', 'true')
    const pdf = await saved(page, '[data-file="report.pdf"]', files)
    expect((await readFile(pdf)).subarray(0, 4).toString('latin1')).toBe('%PDF')
    const ledger = await saved(page, 'a[href$="ledger.jsonl"]', files)
    const { stdout } = await promisify(execFile)(binary, ['verify', ledger, '--data', files])
    console.log(stdout)

    // The program writes the same report from the same ledger, byte by byte.
    const csv = await saved(page, '[data-file="report.csv"]', files)
    const own = ['own.pdf', 'own.csv'].map((name) => join(files, name))
    await promisify(execFile)(binary, ['report', ledger, ...own.map((path) => `--out=${path}`)], { env: inZone })
    for (const [i, path] of [pdf, csv].entries()) expect((await readFile(path)).equals(await readFile(own[i] ?? '')), path).toBe(true)

    const shown = (await report('fingerprint').textContent())?.trim() ?? 'none'
    expect(stdout).toContain(shown)
    console.log(`memory of the page after the game: ${browser.memory()} MB, of one with nothing in it: ${bare} MB`)
    expect(troubles).toEqual([])
  } finally {
    await browser.end()
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
    await rm(files, { recursive: true, force: true })
  }
})

test('at a break a copy is saved by hand and goes into a folder, and another device goes on from it', async ({ page, browser }) => {
  const site = await writtenSite()
  const files = await mkdtemp(join(tmpdir(), 'whistlestop-saved-'))
  const host = await Host.open(site)
  // The browser's own question for a folder cannot be answered by a script: a folder of the page stands for the stick.
  await page.addInitScript(() => {
    const stick = async () => (await navigator.storage.getDirectory()).getDirectoryHandle('stick', { create: true })
    Object.assign(window, { showDirectoryPicker: stick })
  })
  const onStick = (game: string) => page.evaluate(async (name) => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('stick')
    return (await (await folder.getFileHandle(`${name}.jsonl`)).getFile()).text()
  }, game)
  try {
    await page.goto(`${host.address}#game`)
    const bench = await newGame(page)
    await bench.begin('1st period')
    await bench.startClock()
    await bench.stopClock()
    await bench.tapGoal('home', '9', [])
    await bench.begin('1st intermission')
    const copies = page.locator('[data-pocket=break-copies]')
    await expect(copies).toHaveAttribute('data-copied', '0')
    const file = await saved(page, '[data-pocket=save]', files)
    await expect(copies).toHaveAttribute('data-copied', String(await bench.seq()))

    await page.locator('[data-pocket=folder]').click()
    const game = page.url().split('/').at(-1) ?? ''
    const first = await readFile(file, 'utf8')
    await expect.poll(() => onStick(game).catch(() => '')).toBe(first)
    await bench.begin('2nd period')
    await bench.begin('2nd intermission')
    await expect(copies).toHaveAttribute('data-copied', String(await bench.seq()))
    const newest = join(files, 'newest.jsonl')
    await writeFile(newest, await onStick(game))

    const other = await (await browser.newContext()).newPage()
    await other.goto(`${host.address}#game`)
    await other.locator('[data-start=copy-file]').setInputFiles(newest)
    await other.locator('[data-start=taken] a').click()
    const second = new Bench(other)
    await expect(second.at('score-home')).toHaveText('1')
    await second.begin('End')

    // The first one went on too: what the other one did is not taken, and where they part is said.
    await bench.begin('3rd period')
    const its = await saved(other, '[data-pocket=save]', files)
    await page.evaluate(() => (location.hash = '#game'))
    await page.locator('[data-start=copy-file]').setInputFiles(its)
    await expect(page.locator('[data-start=copy-trouble]')).toBeVisible()
    console.log(await page.locator('[data-start=copy-trouble]').textContent())
    await expect(page.locator('[data-start=taken]')).toHaveCount(0)
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
    await rm(files, { recursive: true, force: true })
  }
})

test('the Wall stands in a window of its own, and follows the game', async ({ page, context }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  try {
    await page.goto(`${host.address}#game`)
    const bench = await newGame(page)
    const [wall] = await Promise.all([context.waitForEvent('page'), page.locator('a[href^="/wall/"]').first().click()])
    await wall.setViewportSize({ width: 1920, height: 1080 })
    await expect(wall.locator('[data-wall=score-home]')).toHaveText('0')
    await bench.begin('1st period')
    await bench.startClock()
    await expect(wall.locator('[data-wall=clock] [data-running]')).toHaveAttribute('data-running', 'true')
    await bench.stopClock()
    await bench.tapGoal('home', '9', [])
    await expect(wall.locator('[data-wall=score-home]')).toHaveText('1')

    // The bench's window is loaded again: the Wall goes on by itself.
    await page.reload()
    await bench.begin('End')
    await expect(wall.locator('[data-wall=page]')).toHaveAttribute('data-stage', 'over')
    await page.close()
    await wall.reload()
    await expect(wall.locator('[data-pocket=wall-waits]')).toContainText('another window')
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})

test('a second window is told that the games are open in the first', async ({ page, context }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  try {
    await page.goto(`${host.address}#game`)
    await expect(page.locator('[data-pocket=copies]')).toBeVisible({ timeout: 60_000 })
    const second = await context.newPage()
    await second.goto(`${host.address}#game`)
    await expect(second.locator('[data-pocket=trouble]')).toContainText('another window', { timeout: 60_000 })
    await page.close()
    await second.getByRole('button').click()
    await expect(second.locator('[data-pocket=copies]')).toBeVisible({ timeout: 60_000 })
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})

test('a browser that asks somebody whether the games may stay is not waited for', async ({ page }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  // As Firefox does it, while nobody has answered.
  await page.addInitScript(() => {
    navigator.storage.persist = () => new Promise(() => undefined)
  })
  try {
    await page.goto(`${host.address}#game`)
    await expect(page.locator('[data-pocket=page]')).toHaveAttribute('data-offline', 'true')
    await expect(page.locator('[data-pocket=stays]')).toContainText('Allow it')
    await host.close()
    await page.reload()
    await newGame(page)
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})

test('a browser that says nothing of its storage keeps the games in its database', async ({ page }) => {
  const site = await writtenSite()
  const worker = join(site, 'bench-worker.js')
  await writeFile(worker, `delete WorkerNavigator.prototype.storage\n${await readFile(worker, 'utf8')}`)
  const host = await Host.open(site)
  // As WebKitGTK is built, page and thread.
  await page.addInitScript(() => {
    Reflect.deleteProperty(Navigator.prototype, 'storage')
  })
  try {
    await page.goto(`${host.address}#game`)
    await expect(page.locator('[data-pocket=stays]')).toHaveAttribute('data-stays', 'false')
    const bench = await newGame(page)
    await bench.begin('1st period')
    const before = await bench.seq()
    await page.reload()
    await expect.poll(() => bench.seq().catch(() => 0)).toBe(before)
  } finally {
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})
