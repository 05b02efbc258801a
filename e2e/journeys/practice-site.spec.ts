import { readFile, rm, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { expect, type Page, test } from '@playwright/test'
import { Host } from '../harness/host.ts'
import { Program } from '../harness/program.ts'
import { beginDrill, engineRuns, newerSite, siteIsKept, writtenSite } from '../harness/site.ts'

// The practice site away from the bench: on any web host, without a network, from
// a folder.

const firstLoadMost = 3_000_000 // bytes

let folder: string
test.beforeEach(async () => {
  folder = await writtenSite()
})
test.afterEach(() => rm(dirname(folder), { recursive: true, force: true }))

/** What the page was not allowed to do, and what went wrong in it. */
function troubles(page: Page): string[] {
  const list: string[] = []
  page.on('pageerror', (error) => list.push(error.message))
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') list.push(message.text())
  })
  return list
}

/** Why a browser would not offer to put the page on a home screen. */
async function installable(page: Page): Promise<string[]> {
  const tools = await page.context().newCDPSession(page)
  const { errors, data } = await tools.send('Page.getAppManifest')
  const { installabilityErrors } = await tools.send('Page.getInstallabilityErrors')
  const reasons = installabilityErrors.map((one) => one.errorId).filter((id) => id !== 'in-incognito') // as tests are
  return [...errors.map((one) => one.message), ...(data ? [] : ['no manifest']), ...reasons]
}

test('from a plain web host, in a folder of it: under 3 MB, and afterwards without a network', async ({ page, context }) => {
  const host = await Host.open(folder, '/club/practice/')
  try {
    const list = troubles(page)
    await page.goto(host.address)
    await engineRuns(page)
    await siteIsKept(page)
    const asked = host.sent.filter((one) => one.status !== 304)
    console.log(`first load: ${host.bytes} bytes in ${asked.length} files from a host that packs nothing, ${host.packed} from one that packs`)
    expect(host.bytes).toBeLessThan(firstLoadMost)
    expect(asked.filter((one) => one.status !== 200)).toEqual([])
    expect(asked.map((one) => one.path).filter((path, i, all) => all.indexOf(path) !== i), 'came twice').toEqual([])
    expect(await installable(page)).toEqual([])
    await beginDrill(page)

    await host.close()
    await context.setOffline(true)
    await page.goto('about:blank')
    await page.goto(host.address)
    await engineRuns(page)
    await beginDrill(page)
    expect(list).toEqual([])
  } finally {
    await host.close()
  }
})

test('a second visit shows the menu on a processor four times slower', async ({ page, context }) => {
  const host = await Host.open(folder)
  try {
    await page.goto(host.address)
    await engineRuns(page)
    await siteIsKept(page)
    await page.goto('about:blank')
    const tools = await context.newCDPSession(page)
    await tools.send('Emulation.setCPUThrottlingRate', { rate: 4 })
    const begun = Date.now()
    await page.goto(host.address, { waitUntil: 'commit' })
    await page.locator('[data-progress=start]').waitFor()
    console.log(`the menu of a second visit, four times slower: ${Date.now() - begun} ms`) // a figure for docs/performance.md: no test depends on speed
    await expect(page.locator('[data-progress=drill]').first()).toBeVisible()
  } finally {
    await host.close()
  }
})

test('from a folder, by a double click on index.html', async ({ page }) => {
  const list = troubles(page)
  await page.goto(pathToFileURL(join(folder, 'index.html')).href)
  await engineRuns(page)
  await beginDrill(page)
  expect(await page.evaluate(async () => (await document.fonts.load('700 20px Form')).length), 'faces').toBeGreaterThan(0)
  expect(list).toEqual([])
})

test('a new version comes in the background and is used at the next start, a broken one never', async ({ page }) => {
  const host = await Host.open(folder)
  const style = () => page.evaluate(async () => (await fetch('practice.css')).text())
  const visit = async () => {
    await page.goto('about:blank')
    await page.goto(host.address)
    await engineRuns(page)
    await siteIsKept(page)
  }
  const waits = () => page.evaluate(async () => Boolean((await navigator.serviceWorker.getRegistration())?.waiting))
  try {
    await visit()
    await newerSite(folder, 'newer')
    const before = host.sent.length
    await visit()
    await expect.poll(waits).toBe(true)
    expect(await style(), 'while the old one is open').not.toContain('newer')
    expect(host.sent.slice(before).filter((one) => one.bytes > 0).map((one) => one.path), 'only what changed').toEqual(['/sw.js', '/practice.css'])
    await visit()
    expect(await style()).toContain('newer')

    await newerSite(folder, 'broken')
    await writeFile(join(folder, 'practice.css'), 'half of a fi')
    const asked = () => host.sent.filter((one) => one.path === '/practice.css').length
    const tries = asked()
    await visit()
    await expect.poll(asked, 'looked for the new one').toBeGreaterThan(tries)
    await visit()
    expect(await waits()).toBe(false)
    expect(await style()).toContain('newer')
  } finally {
    await host.close()
  }
})

test('what is missing or damaged is said in words', async ({ page }) => {
  const host = await Host.open(folder)
  const said = page.locator('#app')
  try {
    const whole = await readFile(join(folder, 'engine.wasm.xz'))
    await writeFile(join(folder, 'engine.wasm.xz'), 'half of a fi')
    await page.goto(host.address)
    await expect(said).toContainText('The practice engine could not be started')
    await writeFile(join(folder, 'engine.wasm.xz'), whole.subarray(0, whole.length / 2))
    await page.reload()
    await expect(said).toContainText('The practice engine could not be started')
    await rm(join(folder, 'engine.wasm.xz'))
    await page.reload()
    await expect(said).toContainText('engine.wasm.xz did not arrive (404)')
    await rm(join(folder, 'engine.js'))
    await page.goto(pathToFileURL(join(folder, 'index.html')).href)
    await expect(said).toContainText('engine.js did not arrive')
    await page.addInitScript('delete globalThis.WebAssembly')
    await page.reload()
    await expect(said).toContainText('too old for practice: it lacks WebAssembly')
  } finally {
    await host.close()
  }
})

test('the bench has it beside its own pages, a click from the list of games', async ({ page }) => {
  const program = await Program.empty()
  try {
    const list = troubles(page)
    await page.goto(program.origin)
    await page.locator('[data-start=practise]').click()
    await expect(page).toHaveURL(`${program.origin}/practice/`)
    await engineRuns(page)
    await siteIsKept(page)
    await beginDrill(page)
    expect(list).toEqual([])
  } finally {
    await program.close()
  }
})
