import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { expect, type Page, test } from '@playwright/test'
import { Host } from '../harness/host.ts'
import { Killable } from '../harness/killed.ts'
import { newGame, saved } from '../harness/pocket.ts'
import { writtenSite } from '../harness/site.ts'

// What a bench in a browser holds, on a phone's screen, from the list of games to the PDF of the report: a row of
// docs/pocket.md for each browser that was started anew. WHISTLESTOP_TIMES=3: how often.

const times = Number(process.env.WHISTLESTOP_TIMES ?? 3)
const settled = 3000 // milliseconds until what was begun has ended
const rested = 15_000 // until a browser has collected what nobody holds any more
const ended = 2000 // until a service worker that was stopped has given back what it held

const games = [
  { name: 'a short game', goals: 3, plays: 1 },
  { name: 'a long game', goals: 20, plays: 3 },
]

// As many as goals: another goal of the same scorer within a minute of play is asked about.
const scorers = Array.from({ length: 20 }, (_, i) => String(i + 2))
const hosts = { name: 'Kelp Bay', roster: ['1 Ola Brandt G', ...scorers.map((number) => `${number} Player ${number}`)].join('\n') }

/**
 * Stops the site's service worker, as a browser does when it had nothing to do for half a minute; one that is looked
 * at, as here, it would let run.
 */
async function stopServiceWorker(page: Page): Promise<void> {
  const browser = await page.context().newCDPSession(page)
  await browser.send('ServiceWorker.enable')
  await browser.send('ServiceWorker.stopAllWorkers')
  await browser.detach()
}

for (const game of games) {
  test(`the memory of a bench in a browser: ${game.name}`, async ({ launchOptions }) => {
    test.setTimeout(3_600_000)
    const site = await writtenSite()
    const files = await mkdtemp(join(tmpdir(), 'whistlestop-figures-'))
    const host = await Host.open(site)
    const browser = await Killable.make({ ...launchOptions, viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true })
    try {
      const first = await browser.start()
      await first.goto(`${host.address}#game`)
      await expect(first.locator('[data-pocket=page]')).toHaveAttribute('data-offline', 'true')
      await browser.close()
      for (let i = 0; i < times; i++) {
        const page = await browser.start()
        const held = new Map<string, number>()
        const note = async (when: string, after = settled) => {
          await page.waitForTimeout(after)
          held.set(when, browser.memory())
        }
        const atRest = async (when: string) => {
          await note(`${when}, 15 s later`, rested)
          await stopServiceWorker(page)
          await note(`${when}, service worker stopped`, ended)
        }
        await note('an empty page')
        await page.goto(`${host.address}#game`)
        await expect(page.locator('[data-pocket=copies]')).toBeVisible()
        await note('list of games')
        const bench = await newGame(page, { hosts })
        await note('a game is open')
        await bench.begin('1st period')
        for (const scorer of scorers.slice(0, game.goals)) {
          for (let play = 0; play < game.plays; play++) {
            await bench.startClock()
            await bench.stopClock()
          }
          await bench.tapGoal('home', scorer, [])
        }
        await note('with the last goal', 0)
        await atRest('with the last goal')
        const entries = await bench.seq()
        await bench.begin('End')
        await page.evaluate(() => (location.hash += '/report'))
        await expect(page.locator('[data-report=page]')).toBeVisible()
        await note('its report')
        let most = 0
        const prints = setInterval(() => (most = Math.max(most, browser.memory())), 50)
        await saved(page, '[data-file="report.pdf"]', files)
        clearInterval(prints)
        held.set('while it prints', most)
        await note('after its PDF')
        await atRest('after its PDF')
        if (i === 0) console.log(`| | ${[...held.keys()].join(' | ')} |\n` + '|---'.repeat(held.size + 1) + '|')
        console.log(`| ${game.name}, ${entries} entries | ${[...held.values()].join(' | ')} |`)
        await browser.close()
      }
    } finally {
      await browser.end()
      await host.close()
      await rm(dirname(site), { recursive: true, force: true })
      await rm(files, { recursive: true, force: true })
    }
  })
}
