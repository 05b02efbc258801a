import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { chromium, expect, test } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { beyond, violations } from '../harness/access.ts'
import { Host } from '../harness/host.ts'
import { newGame, saved } from '../harness/pocket.ts'
import { Program } from '../harness/program.ts'
import { pictures, seasoned, type Scheduled } from '../harness/season.ts'
import { writtenSite } from '../harness/site.ts'

// A game of the league's schedule on a phone: from the coordinator's link to the result in the schedule.

test('a game of the schedule is opened on a phone by a link, played, practised, and found by the schedule', async ({ page, browser }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  const files = await mkdtemp(join(tmpdir(), 'whistlestop-saved-'))
  const program = await Program.empty()
  try {
    // The coordinator makes a link of the next game, with the rosters that the last one left in the book.
    const { office, next } = await seasoned(program)
    const at = (name: string) => page.locator(`[data-season="${name}"]`)
    const start = (name: string) => page.locator(`[data-start="${name}"]`)
    await page.goto(`${program.origin}/season`)
    await at('to-schedule').click()
    const row = page.locator(`[data-season=game][data-game="${next.id}"]`)
    await row.locator('[data-season=phone]').click()
    await at('phone-site').fill('harbour.example')
    await at('phone-make').click()
    await expect(at('phone-link')).toHaveValue(/^https:\/\/harbour\.example\/#new\/[\w-]+$/)
    await at('phone-site').fill('http://harbour.example/')
    await at('phone-make').click()
    await expect(at('phone-trouble')).toContainText('https')
    await at('phone-site').fill(host.address)
    await at('phone-rosters').check()
    await at('phone-make').click()
    await expect(at('phone-link')).toHaveValue(/#new\//)
    await pictures(page, 'phone-game')
    const link = await at('phone-link').inputValue()

    // On the phone a link that was cut says so; the whole one fills the form in.
    const phone = await (await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true })).newPage()
    const on = (name: string) => phone.locator(`[data-pocket="${name}"]`)
    await phone.goto(link.slice(0, -20))
    await expect(on('linked-none')).toBeVisible()
    await phone.goto('about:blank')
    await phone.goto(link)
    await expect(on('linked')).toContainText(next.id)
    await expect(phone.locator('[data-start=division]')).toHaveValue('harbour-u14')
    await expect(phone.locator(`[data-start=roster-${next.home.startsWith('millrace') ? 'home' : 'visitors'}]`)).toHaveValue(/Alva Reed/)
    await phone.screenshot({ path: 'test-results/pocket-linked-phone.png', fullPage: true })
    expect(await violations(phone), 'the page of the link').toEqual([])
    expect(await beyond(phone)).toBeLessThanOrEqual(0)
    for (const side of ['home', 'visitors'] as const) {
      const roster = phone.locator(`[data-start=roster-${side}]`)
      if ((await roster.inputValue()) === '') await roster.fill('31 Other Keeper G\n8 Linn Sand')
    }
    await phone.locator('[data-start=go]').tap()
    const bench = new Bench(phone)
    await expect(bench.at('page')).toBeVisible()
    const before = await bench.seq() // the opening, and the end of the ice
    await bench.begin('1st period')
    await bench.begin('End')
    await phone.evaluate(() => (location.hash += '/report'))
    const ledger = await saved(phone, 'a[href$="ledger.jsonl"]', files)

    // It is played as practice, from the game that lies in this browser.
    await phone.locator('[data-report=practise]').tap()
    const added = phone.locator('[data-progress=added]')
    await expect(added).toContainText('Millrace')
    await expect(added).toBeInViewport()
    await added.getByRole('button').tap()
    await expect(phone.locator('[data-practice=waiting], [data-practice=watching]').first()).toBeVisible()

    // The link again says that the game is here.
    await phone.goto('about:blank')
    await phone.goto(link)
    await expect(on('linked-here')).toBeVisible()

    // The league's computer takes the ledger, and the schedule knows its game.
    await page.goto(`${program.origin}/`)
    await start('copy-file').setInputFiles(ledger)
    await expect(start('taken')).toContainText('were taken over')
    const { games } = await office.ask<{ games: (Scheduled & { game?: string; score?: number[] })[] }>('/season/schedule')
    expect(games.find((one) => one.id === next.id)?.game).toBeTruthy()
    expect(before).toBe(2)
  } finally {
    await program.close()
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
    await rm(files, { recursive: true, force: true })
  }
})

test('the Wall goes to the other screen of the device by itself, and fills it at a click', async ({ launchOptions }) => {
  const site = await writtenSite()
  const host = await Host.open(site)
  const browser = await chromium.launch({ ...launchOptions, args: [...(launchOptions.args ?? []), '--screen-info={1366x768}{1920x1080}'] })
  try {
    const context = await browser.newContext({ viewport: null })
    const page = await context.newPage()
    // What somebody is asked at the first time, and playwright has no name for.
    const session = await browser.newBrowserCDPSession()
    const { targetInfos } = await session.send('Target.getTargets')
    for (const { browserContextId = '' } of targetInfos.filter(({ type }) => type === 'page')) {
      await session.send('Browser.setPermission', { permission: { name: 'window-management' }, setting: 'granted', browserContextId })
    }
    await page.goto(`${host.address}#game`)
    await newGame(page)
    const [wall] = await Promise.all([context.waitForEvent('page'), page.locator('a[href^="/wall/"]').first().click()])
    await expect(wall.locator('[data-wall=clock]')).toBeVisible()
    await expect.poll(() => wall.evaluate(() => [screenX, outerWidth, outerHeight])).toEqual([1366, 1920, 1080])
    await wall.locator('[data-wall=clock]').click()
    await expect.poll(() => wall.evaluate(() => document.fullscreenElement !== null)).toBe(true)
  } finally {
    await browser.close()
    await host.close()
    await rm(dirname(site), { recursive: true, force: true })
  }
})
