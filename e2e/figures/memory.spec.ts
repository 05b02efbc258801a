import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { expect, test } from '@playwright/test'
import { Host } from '../harness/host.ts'
import { Killable } from '../harness/killed.ts'
import { newGame, saved } from '../harness/pocket.ts'
import { writtenSite } from '../harness/site.ts'

// What a bench in a browser holds, on a phone's screen, from the list of games to the PDF of the report.
// WHISTLESTOP_TIMES=3: how often, each in a browser started anew.

const times = Number(process.env.WHISTLESTOP_TIMES ?? 3)
const settled = 3000 // milliseconds until what was begun has ended
const rested = 15_000 // until a browser has collected what nobody holds any more

test('the memory of a bench in a browser', async ({ launchOptions }) => {
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
      const held: string[] = []
      const note = async (when: string, after = settled) => {
        await page.waitForTimeout(after)
        held.push(`${when} ${browser.memory()}`)
      }
      await note('an empty page')
      await page.goto(`${host.address}#game`)
      await expect(page.locator('[data-pocket=copies]')).toBeVisible()
      await note('the list of games')
      const bench = await newGame(page)
      await note('a game is open')
      await bench.begin('1st period')
      for (const scorer of ['9', '7', '21']) {
        await bench.startClock()
        await bench.stopClock()
        await bench.tapGoal('home', scorer, [])
      }
      await note('after three goals')
      await bench.begin('End')
      await page.evaluate(() => (location.hash += '/report'))
      await expect(page.locator('[data-report=page]')).toBeVisible()
      await note('its report')
      await saved(page, '[data-file="report.pdf"]', files)
      await note('after its PDF')
      await note('15 seconds later', rested)
      console.log(`MB: ${held.join(', ')}`)
      await browser.close()
    }
  } finally {
    await browser.end()
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
    await rm(files, { recursive: true, force: true })
  }
})
