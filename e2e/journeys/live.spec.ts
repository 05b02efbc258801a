import { expect, type Page } from '@playwright/test'
import { ledgerOf, textsOf } from '../harness/game.ts'
import { Phone } from '../harness/phone.ts'
import { test } from '../harness/rink.ts'
import { Wire } from '../harness/wire.ts'
import { openWall } from '../harness/wall.ts'

test('seven screens in seven browsers play one game, and agree after every entry', async ({ browser, program, bench, game }) => {
  const wall = await (await browser.newContext({ viewport: { width: 1920, height: 1080 } })).newPage()
  await openWall(wall, `${program.origin}/wall/${game}`)
  const follow = await Phone.fresh(browser, program, 'Follower')
  await follow.open(`/follow/${game}`)
  const clock = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Clock phone')
  const box = await Phone.seated(browser, program, bench, { seat: 'box', side: 'home' }, 'Box phone')
  const book = await Phone.seated(browser, program, bench, { seat: 'book' }, 'Book phone')
  const shots = await Phone.seated(browser, program, bench, { seat: 'shots' }, 'Shots phone')

  const pages: [string, Page, string][] = [
    ['bench', bench.page, '[data-bench=page]'], ['Wall', wall, '[data-wall=page]'], ['Follow', follow.page, '[data-follow=page]'],
    ...[clock, box, book, shots].map((phone): [string, Page, string] => [phone.device, phone.page, '[data-seat=page]']),
  ]
  /** Does something, and waits until every screen has the ledger's newest entry. */
  async function after(words: string, deed: () => Promise<unknown>): Promise<void> {
    const before = (await ledgerOf(program, game)).length
    await deed()
    await expect.poll(async () => (await ledgerOf(program, game)).length, { message: words }).toBeGreaterThan(before)
    const newest = String((await ledgerOf(program, game)).length)
    for (const [name, page, hook] of pages) await expect(page.locator(hook), `${name} after ${words}`).toHaveAttribute('data-seq', newest)
  }
  async function clocksShow(running: boolean): Promise<void> {
    await expect(bench.at('clock')).toHaveAttribute('data-running', String(running))
    await expect(wall.locator('[data-wall=clock]')).toHaveAttribute('data-running', String(running))
    await expect(follow.page.locator('[data-follow=clock]')).toHaveAttribute('data-running', String(running))
    await expect(clock.at('clock-control')).toHaveAttribute('data-running', String(running))
  }

  await after('the period is begun', () => bench.begin('1st period'))
  await after('the face-off', () => clock.pressClock())
  await clocksShow(true)
  await after('a shot', () => shots.at('tap-home').dispatchEvent('pointerdown', { button: 0 }))
  await after('the whistle', () => clock.pressClock())
  await clocksShow(false)
  const times = [bench.at('clock'), wall.locator('[data-wall=clock]'), follow.page.locator('[data-follow=clock]')]
  const [first, ...others] = await Promise.all(times.map((one) => one.textContent()))
  for (const other of others) expect(other).toBe(first)

  await after('a call', () => bench.typeCall('h 17 trip'))
  await expect(box.at('sitter')).toContainText('17')
  await expect(wall.locator('[data-wall=bar][data-side=home]')).toHaveCount(1)
  await after('the next face-off', () => clock.pressClock())
  await after('the next whistle', () => clock.pressClock())
  await after('a goal from the book', () => book.post(game, 'goal', { side: 'visitors', scorer: '8', assists: ['23'] }))
  for (const score of [wall.locator('[data-wall=score-visitors]'), follow.page.locator('[data-wall=score-visitors]'), bench.at('score-visitors')]) {
    await expect(score).toHaveText('1')
  }
  // The goal against the short-handed side ended its minor: every box is empty.
  await expect(wall.locator('[data-wall=bar][data-side=home]')).toHaveCount(0)
  const last = await ledgerOf(program, game)
  const texts = await textsOf(program, game)
  const seats = last.map((line) => JSON.parse(line) as { seat: string; by?: string }).map(({ seat, by }) => `${seat} ${texts.get(by ?? '') ?? ''}`.trim())
  expect(seats).toEqual(expect.arrayContaining(['solo', 'clock Clock phone', 'shots Shots phone', 'book Book phone']))
  expect(await box.post(game, 'goal', { side: 'home', scorer: '9' }), 'the box may not score').toBe(422)
})

test('two screens show the same time within 50 ms, and say how sure they are', async ({ browser, program, bench, game }) => {
  const wall = await (await browser.newContext({ viewport: { width: 1280, height: 720 } })).newPage()
  await openWall(wall, `${program.origin}/wall/${game}`)
  const clock = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Clock phone')
  await bench.begin('1st period')
  await bench.setClock('0:50')
  const screens: [Page, string][] = [[bench.page, '[data-bench=clock]'], [wall, '[data-wall=clock]'], [clock.page, '[data-seat=clock]']]
  for (const [page, hook] of screens) {
    await page.evaluate((selector) => {
      const seen: Record<string, number> = {}
      Object.assign(window, { seen })
      const face = document.querySelector(selector)
      if (!face) throw new Error(`no ${selector}`)
      new MutationObserver(() => (seen[face.textContent?.trim() ?? ''] ??= performance.timeOrigin + performance.now()))
        .observe(face, { childList: true, characterData: true, subtree: true })
    }, hook)
  }
  await clock.pressClock()
  await bench.page.waitForTimeout(4000)
  await clock.pressClock()
  const [at, ...rest] = await Promise.all(screens.map(([page]) => page.evaluate(() => (window as unknown as { seen: Record<string, number> }).seen)))
  for (const [i, other] of rest.entries()) {
    const apart = Object.keys(other).filter((text) => at?.[text] !== undefined).map((text) => Math.abs((other[text] ?? 0) - (at?.[text] ?? 0))).sort((a, b) => a - b)
    expect(apart.length, 'tenths that both showed').toBeGreaterThan(10)
    const median = apart[Math.floor(apart.length / 2)] ?? Infinity
    console.log(`the same tenth on two screens (${i === 0 ? 'bench and Wall' : 'bench and phone'}): median ${median.toFixed(1)} ms, most ${apart.at(-1)?.toFixed(1)} ms of ${apart.length}`)
    expect(median).toBeLessThan(50)
  }
  await clock.at('link').click()
  const number = async (name: string) => Number(/-?\d+/.exec((await clock.page.locator(`[data-detail=${name}]`).textContent()) ?? '')?.[0] ?? NaN)
  const bound = await number('bound')
  expect(bound).toBeGreaterThan(0)
  // The browser and the program read one clock here, so the true offset is nothing but the start of the page.
  expect(Math.abs(await number('offset'))).toBeLessThanOrEqual(bound + 20)
  await clock.page.evaluate(() => window.scrollTo(0, 0))
})

test('a seat without the network says so, counts on, and hands over once and in order (N1)', async ({ browser, program, bench, game }) => {
  const wire = await Wire.to(program)
  const phone = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Clock phone', wire.origin)
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await expect(phone.at('page')).toHaveAttribute('data-seq', String(await bench.seq()))
  const before = await ledgerOf(program, game)
  wire.cut()
  const cut = Date.now()
  await phone.page.waitForFunction(() => document.querySelector('[data-link=lost]') !== null)
  const noticed = Date.now() - cut
  console.log(`a seat notices that it is cut off after ${noticed} ms`)
  // Three seconds, and what a busy machine takes to say so.
  expect(noticed).toBeLessThan(3500)
  await expect(phone.at('lost')).toContainText('No word from the bench')
  await phone.pressClock()
  await expect(phone.at('clock-control')).toHaveAttribute('data-running', 'true')
  await phone.page.waitForTimeout(1500)
  await phone.pressClock()
  await expect(phone.at('clock-control')).toHaveAttribute('data-running', 'false')
  await expect(phone.at('page')).toHaveAttribute('data-queue', '2')
  expect(await ledgerOf(program, game)).toEqual(before)
  const shown = await phone.at('clock').textContent()
  wire.heal()
  await expect(phone.at('page')).toHaveAttribute('data-queue', '0')
  const come = (await ledgerOf(program, game)).slice(before.length).map((line) => JSON.parse(line) as { type: string; time: string })
  expect(come.map((one) => one.type)).toEqual(['whistlestop.clock_started.v2', 'whistlestop.clock_stopped.v2'])
  const played = Date.parse(come[1]?.time ?? '') - Date.parse(come[0]?.time ?? '')
  expect(played).toBeGreaterThan(1400)
  expect(played, 'the instants of the touches, not of the return').toBeLessThan(6000)
  await expect(bench.at('clock')).toHaveText(shown ?? '')
  wire.close()
})

test('a device that slept shows no time until it has heard the bench (T2)', async ({ browser, program, bench }) => {
  const phone = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Clock phone')
  await bench.begin('1st period')
  await bench.startClock()
  await expect(phone.at('clock-control')).toHaveAttribute('data-running', 'true')
  let release = () => {}
  const held = new Promise<void>((resolve) => (release = resolve))
  await phone.page.route('**/api/time*', async (route) => {
    await held
    await route.continue()
  })
  // What a sleep looks like from inside: the wall clock is ahead of the one that stood still.
  await phone.page.evaluate(() => {
    const now = Date.now
    Date.now = () => now() + 60_000
  })
  await expect(phone.at('asleep')).toBeVisible()
  await expect(phone.at('clock')).toHaveText('–:––')
  await expect(phone.at('clock-control')).toBeDisabled()
  release()
  await expect(phone.at('asleep')).toBeHidden()
  await expect(phone.at('clock')).toContainText(/\d:\d\d/)
  await expect(phone.at('clock-control')).toBeEnabled()
})

test('seven tabs on one phone: five work, and the others say why they do not (N7)', async ({ browser, program, bench, game }) => {
  const phone = await Phone.fresh(browser, program, 'Tabs')
  const pages = [phone.page]
  while (pages.length < 7) pages.push(await phone.context.newPage())
  for (const [i, page] of pages.entries()) {
    await page.goto(`${program.network}/follow/${game}`)
    await expect(i < 5 ? page.locator('[data-follow=page]') : page.locator('[data-wait=crowded]'), `tab ${i + 1}`).toBeVisible()
    await page.waitForTimeout(300)
  }
  await bench.begin('1st period')
  for (const page of pages.slice(0, 5)) await expect(page.locator('[data-follow=page]')).toHaveAttribute('data-stage', 'period')
  await pages[0]?.close()
  await pages[6]?.locator('button').click()
  await expect(pages[6]!.locator('[data-follow=page]')).toHaveAttribute('data-stage', 'period')
})

test('a seat whose screen was lost on the way shows the game, and says how to get it', async ({ browser, program, bench }) => {
  const phone = await Phone.seated(browser, program, bench, { seat: 'shots' }, 'Shots phone')
  await expect(phone.at('tap-home')).toBeVisible()
  await phone.page.route('**/assets/Shots-*.js', (route) => route.abort())
  await phone.page.reload()
  await expect(phone.at('missing')).toBeVisible()
  await expect(phone.at('clock')).toBeVisible()
  await phone.page.unroute('**/assets/Shots-*.js')
  await phone.at('missing').locator('button').click()
  await expect(phone.at('tap-home')).toBeVisible()
})
