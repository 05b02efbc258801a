import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { promisify } from 'node:util'
import { expect, type Page, test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { Host } from '../harness/host.ts'
import { Killable } from '../harness/killed.ts'
import { newGame, saved } from '../harness/pocket.ts'
import { binary } from '../harness/program.ts'
import { writtenSite } from '../harness/site.ts'

// A game in a browser that is killed again and again, at any instant, by hands that never rest: what the
// screen had is there. More of them by hand: WHISTLESTOP_KILLS=500, other instants: WHISTLESTOP_SEED=2. Each game says
// how far it came, so that a run that is broken off counts as far as it went.

const kills = Number(process.env.WHISTLESTOP_KILLS ?? 3)
const seed = Number(process.env.WHISTLESTOP_SEED ?? 17) // of the instants
const inGame = 10 // then it ends, and another one begins
const longest = 1_500 // milliseconds until a kill

/** Numbers from 0 to 1 from a seed, the same in every run (mulberry32, public domain). */
function numbers(seed: number): () => number {
  return () => {
    seed = (seed + 0x6d2b79f5) | 0
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
}

/** Presses shots and the clock in the page until it ends, and tells each number that the screen shows as kept. */
async function hands(page: Page, told: (seq: number) => void): Promise<void> {
  await page.exposeFunction('whistlestopKept', told)
  await page.evaluate(() => {
    const { whistlestopKept } = window as unknown as { whistlestopKept: (seq: number) => void }
    const shown = document.querySelector('[data-bench=page]')!
    new MutationObserver(() => whistlestopKept(Number(shown.getAttribute('data-seq')))).observe(shown, { attributeFilter: ['data-seq'] })
    let presses = 0
    setInterval(() => {
      presses++
      const hook = presses % 6 === 0 ? 'clock-control' : presses % 2 === 0 ? 'shot-home' : 'shot-visitors'
      document.querySelector<HTMLElement>(`[data-bench=${hook}]`)?.click()
    }, 60)
  })
}

test('a game over kills at any instant: all that the screen had is in the ledger, and its chain is whole', async ({ launchOptions }) => {
  test.setTimeout(900_000 + kills * 60_000)
  const site = await writtenSite()
  const files = await mkdtemp(join(tmpdir(), 'whistlestop-saved-'))
  const host = await Host.open(site)
  const browser = await Killable.make({ ...launchOptions, viewport: { width: 1366, height: 768 } })
  const random = numbers(seed)
  try {
    let page = await browser.start()
    let entries = 0
    let games = 0
    for (let done = 0; done < kills; ) {
      await page.goto(`${host.address}#game`)
      await page.reload() // the list, whatever was shown
      let bench = await newGame(page)
      await bench.begin('1st period')
      const address = page.url()
      let kept = await bench.seq()
      for (let kill = 0; kill < inGame && done < kills; kill++) {
        const before = kept
        await hands(page, (seq) => (kept = Math.max(kept, seq)))
        await expect.poll(() => kept).toBeGreaterThan(before)
        await new Promise((resolve) => setTimeout(resolve, random() * longest))
        await browser.kill()
        done++

        page = await browser.start()
        await page.goto(address)
        bench = new Bench(page)
        await expect(bench.at('page')).toBeVisible({ timeout: 300_000 }) // at the lowest priority it may take that long
        expect(await bench.seq(), `after kill ${done}`).toBeGreaterThanOrEqual(kept)
        // A clock that ran is doubted, and asks; without an answer it does not start.
        const doubt = bench.at('hold').first().locator('[data-bench=settle]').filter({ hasText: "computer's clock" })
        if (await page.locator('[data-key^="doubt/"]').first().isVisible()) await doubt.click()
        kept = await bench.seq()
      }
      await bench.begin('End')
      await page.evaluate(() => (location.hash += '/report'))
      const ledger = await saved(page, 'a[href$="ledger.jsonl"]', files)
      const { stdout } = await promisify(execFile)(binary, ['verify', ledger, '--data', files])
      expect(stdout).toContain('are as they were written')
      const lines = (await readFile(ledger, 'utf8')).trimEnd().split('\n').length
      expect(lines).toBeGreaterThanOrEqual(kept)
      entries += lines
      games++
      console.log(`seed ${seed}: ${done} of ${kills} kills, ${games} games, ${entries} entries, none that the screen had is lost, each chain is whole`)
    }
  } finally {
    await browser.end()
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
    await rm(files, { recursive: true, force: true })
  }
})
