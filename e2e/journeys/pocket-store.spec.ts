import { execFile } from 'node:child_process'
import { copyFile, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { expect, type Page, test } from '@playwright/test'
import { Host } from '../harness/host.ts'
import { Killable } from '../harness/killed.ts'

// The ledger store of the browser in a real one: the tests of the package, compiled
// for WebAssembly, in a worker over the files of the origin.

const root = join(dirname(fileURLToPath(import.meta.url)), '../..')

/** Runs a test of the package when the page asks for it, over so many files; some begin empty. */
const worker = `
const open = []
onmessage = async ({ data: { run, files, fresh, database } }) => {
  const names = Array.from({ length: files }, (_, i) => (fresh ? 'fresh-' : 'kept-') + i)
  const full = () => new DOMException('no more room', 'QuotaExceededError')
  if (database) {
    open.push(...(await whistlestopDatabase.openInDatabase(names)))
    const put = IDBObjectStore.prototype.put
    globalThis.whistlestopRefuse = () => {
      IDBObjectStore.prototype.put = function (part, key) {
        put.call(this, part, key)
        throw full()
      }
    }
    globalThis.whistlestopAllow = () => (IDBObjectStore.prototype.put = put)
  } else {
    const folder = await navigator.storage.getDirectory()
    for (const name of names) open.push(await (await folder.getFileHandle(name, { create: true })).createSyncAccessHandle())
    const write = FileSystemSyncAccessHandle.prototype.write
    globalThis.whistlestopRefuse = () => {
      FileSystemSyncAccessHandle.prototype.write = function (content, at) {
        write.call(this, content.subarray(0, content.length / 2), at)
        throw full()
      }
    }
    globalThis.whistlestopAllow = () => (FileSystemSyncAccessHandle.prototype.write = write)
  }
  if (fresh) open.forEach((one) => one.truncate(0))
  globalThis.whistlestopFiles = [...open]
  globalThis.whistlestopLose = () => open.forEach((one) => one.close())
  globalThis.whistlestopKept = (kept) => postMessage({ kept })
  const go = new Go()
  go.argv = ['store', '-test.v', '-test.run', '^' + run + '$', '-rapid.checks', '30']
  go.exit = (code) => postMessage({ code })
  const line = console.log
  console.log = (text) => (postMessage({ line: String(text) }), line(text))
  const { instance } = await WebAssembly.instantiateStreaming(fetch('store.wasm', { cache: 'no-store' }), go.importObject)
  await go.run(instance)
}
`
const page = `<!doctype html><title>store</title><link rel="icon" href="data:,"><script>
  const told = (window.told = { lines: [], kept: 0, code: null })
  window.run = (wanted) => {
    const worker = new Worker('worker.js')
    worker.onmessage = ({ data }) => {
      if ('line' in data) told.lines.push(data.line)
      if ('kept' in data) told.kept = data.kept
      if ('code' in data) told.code = data.code
    }
    worker.postMessage(wanted)
  }
</script>`

interface Told { lines: string[]; kept: number; code: number | null }
declare global {
  interface Window {
    told: Told
    run: (wanted: { run: string; files: number; fresh: boolean; database: boolean }) => void
  }
}

// More of them by hand: WHISTLESTOP_KILLS=500. A ledger of the test ends at 5,000 entries.
const kills = Number(process.env.WHISTLESTOP_KILLS ?? 5)
const posts = Math.max(2, Math.min(20, Math.floor(2000 / kills)))

const told = (at: Page) => at.evaluate(() => window.told)

let folder: string
let host: Host

test.beforeAll(async () => {
  test.setTimeout(600_000) // compiling, on a busy machine
  folder = await mkdtemp(join(tmpdir(), 'whistlestop-store-'))
  await promisify(execFile)('go', ['test', '-c', '-tags', 'no_ui', '-o', join(folder, 'store.wasm'), './internal/store/browser'],
    { cwd: root, env: { ...process.env, GOOS: 'js', GOARCH: 'wasm' } })
  await writeFile(join(folder, 'index.html'), page)
  await copyFile(join(root, '.build/engine/wasm_exec.js'), join(folder, 'exec.js'))
  const database = ['src/practice/pocket/database.ts', '--bundle', '--format=iife', '--global-name=whistlestopDatabase']
  const { stdout } = await promisify(execFile)(join(root, 'ui/node_modules/.bin/esbuild'), database, { cwd: join(root, 'ui') })
  await writeFile(join(folder, 'worker.js'), (await readFile(join(folder, 'exec.js'), 'utf8')) + stdout + worker)
  host = await Host.open(folder)
})
test.afterAll(async () => {
  await host.close()
  await rm(folder, { recursive: true, force: true })
})

for (const database of [false, true]) {
  const where = database ? 'the database of the browser' : 'files of the browser'
  for (const name of ['TestStoreInBrowser', 'TestRefusedInBrowser']) {
    test(`${name} passes in ${where}`, async ({ page: at }) => {
      await at.goto(host.address)
      await at.evaluate((wanted) => window.run(wanted), { run: name, files: 40, fresh: true, database })
      await expect.poll(async () => (await told(at)).code, { timeout: 100_000 }).not.toBeNull()
      const { lines, code } = await told(at)
      expect(code, lines.join('\n')).toBe(0)
      expect(lines.join('\n')).toContain(`--- PASS: ${name}`)
    })
  }

  test(`killed again and again, every post that was answered is there: in ${where}`, async ({ launchOptions }) => {
    const browser = await Killable.make(launchOptions)
    try {
      let answered = 0
      for (let round = 0; round <= kills; round++) {
        const at = await browser.start()
        await at.goto(host.address)
        await at.evaluate((wanted) => window.run(wanted), { run: 'TestKilledInBrowser', files: 2, fresh: false, database })
        await expect.poll(async () => (await told(at)).lines.join('\n'), { timeout: 60_000 }).toMatch(/found \d+/)
        const { lines, code } = await told(at)
        expect(code, lines.join('\n')).toBeNull()
        const found = Number(/found (\d+)/.exec(lines.join('\n'))?.[1])
        expect(found).toBeGreaterThanOrEqual(answered)
        // A few more each time, so that it dies in another place.
        const wait = 10 + 7 * (round % 20)
        await expect.poll(async () => (answered = (await told(at)).kept), { intervals: [wait] }).toBeGreaterThan(found + posts)
        await browser.kill()
      }
      console.log(`${answered} posts were answered before the last kill in ${where}, and none was lost in ${kills}`)
    } finally {
      await browser.end()
    }
  })
}
