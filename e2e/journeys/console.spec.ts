import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { expect, type Page, test as base } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { pagesOf } from '../harness/practice.ts'
import { ledgerOf, openGame } from '../harness/game.ts'
import { Past } from '../harness/past.ts'
import { photoOfKeys } from '../harness/photo.ts'
import { Host } from '../harness/host.ts'
import { Program } from '../harness/program.ts'
import { engineRuns, siteIsKept, writtenSite } from '../harness/site.ts'

// Somebody stands in front of an invented console with a phone, fills in a card for it
// from nothing, keeps it on the bench, and practises on its keys.

const test = base.extend<{ program: Program }>({
  program: async ({}, use) => {
    const program = await Program.empty()
    await use(program)
    await program.close()
  },
})

const ownCard = `id = "north"
rink = "Northmole Ice House"
[console]
rows = ["red tile, blue tile"]
marks = [{ key = "red tile", x = 20, y = 20, width = 400, height = 400 }, { key = "blue tile", x = 500, y = 20, width = 400, height = 400 }]
[words]
home = "red"
visitors = "blue"
[[steps]]
when = "goal"
do = ["Touch the tile of {side}."]
press = ["{side} tile"]
`

const at = (page: Page, name: string) => page.locator(`[data-console="${name}"]`)

/** Fills in one step of a happening by the taps that the form offers. */
async function step(page: Page, when: string, words: string, taps: string[]): Promise<void> {
  const happening = page.locator(`[data-console=happening][data-when=${when}]`)
  await happening.locator('summary').click()
  await happening.locator('[data-console=add-step]').click()
  await happening.locator('[data-console=do]').fill(words)
  for (const tap of taps) {
    const gap = /^\{(\w+)\}$/.exec(tap)?.[1]
    await happening.locator(gap ? `[data-console=tap-gap][data-gap=${gap}]` : `[data-console=tap][data-key="${tap}"]`).click()
  }
}

/** Marks a key on the photo, by two corners in thousandths of it. */
async function mark(page: Page, key: string, from: [number, number], to: [number, number], how: 'taps' | 'drag'): Promise<void> {
  await at(page, 'photo').locator(`[data-console=photo-key][data-key="${key}"]`).click()
  const surface = at(page, 'photo-surface')
  await surface.evaluate((one) => one.scrollIntoView({ block: 'center' })) // clear of the bar at the foot
  const box = await surface.boundingBox()
  if (!box) throw new Error('the photo is not there')
  const [one, other] = [from, to].map(([x, y]) => [box.x + (x * box.width) / 1000, box.y + (y * box.height) / 1000] as const)
  if (!one || !other) throw new Error('no corners')
  if (how === 'taps') {
    await page.mouse.click(...one)
    await expect(at(page, 'photo-say')).toContainText('opposite corner')
    await page.mouse.click(...other)
  } else {
    await page.mouse.move(...one)
    await page.mouse.down()
    await page.mouse.move((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
    await page.mouse.move(...other)
    await page.mouse.up()
  }
  await expect(page.locator(`[data-mark="${key}"]`)).toBeVisible()
}

/** Presses what is shown until the drill is over. */
async function follow(page: Page): Promise<void> {
  for (let presses = 0; presses < 60; presses++) {
    const play = at(page, 'play')
    if (await play.getAttribute('data-over') === 'true') return
    const acts = Number(await play.getAttribute('data-acts'))
    const next = page.locator('[data-console=key].next, [data-photo=key].next')
    const duty = page.locator('[data-console=duty]:not([data-duty=other]):not([disabled])')
    await (await next.count() > 0 ? next : await at(page, 'done').count() > 0 ? at(page, 'done') : await duty.count() > 0 ? duty.first() : at(page, 'ready')).click()
    await expect(play).toHaveAttribute('data-acts', String(acts + 1))
  }
}

test('a card is made from nothing on a phone, kept on the bench and practised', async ({ page, program, browser }) => {
  test.setTimeout(240_000)
  await page.setViewportSize({ width: 390, height: 844 })
  await page.goto(`${program.origin}/practice/#console`)
  await at(page, 'new').click()
  await at(page, 'rink').fill('Northmole Ice House')
  await at(page, 'word-visitors').fill('guest')
  const rows = ['main lever, green tile', 'home star, guest star, home slot, guest slot', '1, 2, 3, 4, 5', '6, 7, 8, 9, 0']
  for (const [n, row] of rows.entries()) {
    if (await at(page, 'row').count() <= n) await at(page, 'add-row').click()
    await at(page, 'row').nth(n).fill(row)
  }
  await at(page, 'clear').selectOption('main lever')
  await step(page, 'before_game', 'Pull the main lever, then set the clock to {time}.', ['main lever', '{time}', 'green tile'])
  await step(page, 'goal', 'Touch the star of {side}.', ['{side} star'])
  await step(page, 'penalty_taken_down', 'Slot, line, tile.', ['{side} slot', '{line}', 'green tile'])

  // What is missing is said beside its field, in words, and goes when it is there.
  await step(page, 'penalty_posted', 'Slot, {time}, tile, {number}, tile.', ['{side} slot'])
  const fault = page.locator('[data-console=fault][data-field="penalty_posted.0.press"]')
  await expect(fault).toContainText('{time}')
  const posted = page.locator('[data-console=happening][data-when=penalty_posted]')
  for (const tap of ['{time}', 'green tile', '{number}', 'green tile']) {
    await posted.locator(tap.startsWith('{') ? `[data-gap=${tap.slice(1, -1)}]` : `[data-console=tap][data-key="${tap}"]`).click()
  }
  await expect(fault).toHaveCount(0)
  await expect(posted.locator('[data-console=seen]')).toContainText('home slot')
  // The photo is made by this test: four coloured rectangles, of which two are marked by two
  // taps, one by a drag, and the rest by the buttons alone.
  await page.locator('[data-progress=photo-file]').setInputFiles({ name: 'not.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('<html>') })
  await expect(at(page, 'photo-why')).toContainText('no picture')
  await page.locator('[data-progress=photo-file]').setInputFiles({ name: 'keys.png', mimeType: 'image/png', buffer: await photoOfKeys(page, rows.length, 5) })
  await mark(page, 'main lever', [100, 100], [300, 300], 'taps')
  await mark(page, 'green tile', [400, 100], [600, 300], 'drag')
  await at(page, 'photo').locator('[data-console=photo-key][data-key=""]').click()
  await at(page, 'photo-middle').click()
  await at(page, 'photo').locator('[data-mark=""]').press('ArrowRight')
  await at(page, 'photo-name').fill('home star')
  for (const [n, key] of ['home star', 'guest star', 'home slot', 'guest slot', ...'1234567890'].entries()) {
    const [x, y] = [20 + (n % 7) * 140, 400 + Math.floor(n / 7) * 280]
    await mark(page, key, [x, y], [x + 120, y + 240], 'drag')
  }
  await expect(at(page, 'photo-left')).toContainText('Every key')
  await expect(at(page, 'photo')).toHaveAttribute('data-marks', '16')
  await at(page, 'add-contacts').click()
  await at(page, 'contacts-first').fill('Ice master Wren')
  await at(page, 'contacts-second').fill('extension 7')
  await expect(at(page, 'state')).toHaveAttribute('data-faults', '0')
  expect(await beyond(page)).toBe(0)
  expect(await violations(page)).toEqual([])

  // It is there after a reload, and the bench takes it.
  await page.reload()
  await expect(at(page, 'rink')).toHaveValue('Northmole Ice House')
  await expect(at(page, 'photo')).toHaveAttribute('data-marks', '16')
  await expect(page.locator('[data-mark="main lever"]')).toBeVisible()
  await at(page, 'form-done').click()
  await at(page, 'keep').click()
  await expect(at(page, 'told')).toBeVisible()
  const file = await page.request.get(`${program.origin}/api/cards/northmole-ice-house.toml`)
  expect(await file.text()).toContain('Ice master Wren')
  const paper = await page.request.get(`${program.origin}/api/cards/northmole-ice-house.pdf?paper=a4`)
  expect(pagesOf(await paper.body()), 'the photo with numbers and the steps; if something is wrong').toBe(2)
  const photo = await page.request.get(`${program.origin}/api/cards/northmole-ice-house.jpg`)
  expect(photo.headers()['content-type']).toBe('image/jpeg')
  expect((await photo.body()).length).toBeLessThan(200 * 1024)
  expect(await (await page.request.get(`${program.origin}/api/cards`)).text()).not.toContain('extension 7')

  // In a game the keys of the step stand on the photo, one after the other; the last one ticks it.
  const game = await openGame(program, 'harbour-u14')
  const past = new Past(program, game)
  await past.card('northmole-ice-house')
  await past.begin('period', 1)
  await past.whistle('9:00')
  await past.penalty('visitors', '14', 'hooking')
  const rink = await page.context().newPage()
  await rink.setViewportSize({ width: 390, height: 844 })
  await rink.goto(`${program.origin}/bench/${game}`)
  const bench = (name: string) => rink.locator(`[data-bench="${name}"]`)
  await bench('picture-open').click()
  await expect(rink.locator('[data-photo=picture]')).toHaveAttribute('data-next', 'guest slot')
  expect(await beyond(rink)).toBe(0)
  const first = await bench('card-next').getAttribute('data-step')
  for (let n = 0; n < 20 && (await bench('card-next').count()) > 0 && (await bench('card-next').getAttribute('data-step')) === first; n++) {
    const before = await bench('picture').getAttribute('data-at')
    await rink.locator('[data-photo=key].next').click()
    await expect.poll(async () => (await bench('picture').count()) === 0 || (await bench('picture').getAttribute('data-at')) !== before).toBe(true)
  }
  await expect.poll(async () => (await ledgerOf(program, game)).filter((line) => line.includes('ticked')).length).toBeGreaterThan(0)
  await rink.close()

  // A wrong press is told, the way back is shown, and it costs.
  await at(page, 'practise').first().click()
  await page.locator('[data-drill=post_penalty]').click()
  await expect(at(page, 'say')).toContainText('Penalty')
  await page.locator('[data-photo=key][data-key="home star"]').click()
  await expect(at(page, 'told')).toContainText('home star')
  expect(await violations(page)).toEqual([])
  await follow(page)
  await expect(at(page, 'grade')).toBeVisible()
  await expect(at(page, 'grade').locator('h1')).toHaveText(/^\d\d of 100$/)
  await at(page, 'leave').click()
  for (const drill of ['power_play', 'five_things']) {
    await page.locator(`[data-drill=${drill}]`).click()
    await expect(at(page, 'say')).toBeVisible()
    // The board stays in view where the keys are.
    await page.locator('[data-photo=key]').last().scrollIntoViewIfNeeded()
    await expect(at(page, 'clock')).toBeInViewport()
    // A reload goes on where it was.
    await page.locator('[data-photo=key].next').click()
    await expect(at(page, 'play')).toHaveAttribute('data-acts', '1')
    await page.reload()
    await expect(at(page, 'play')).toHaveAttribute('data-acts', '1')
    await expect(at(page, 'play')).toHaveAttribute('data-drill', drill)
    await follow(page)
    await expect(at(page, 'grade').locator('h1')).toHaveText('100 of 100')
    await at(page, 'leave').click()
  }

  // The card goes into a link, and another browser that opens it has the card, and keeps it.
  await page.locator('.back').click()
  await at(page, 'link').click()
  const link = await at(page, 'link-is').inputValue()
  expect(link).not.toContain('Wren')
  const other = await browser.newContext({ viewport: { width: 390, height: 844 } })
  const guest = await other.newPage()
  await guest.goto(link)
  await expect(at(guest, 'drills')).toContainText('Northmole Ice House')
  await guest.reload()
  await expect(at(guest, 'drills')).toContainText('Northmole Ice House')
  expect(await beyond(guest)).toBe(0)
  await other.close()
})

test('an association puts its card with its photo into the site: nothing to choose, kept without a network', async ({ page, context }) => {
  test.setTimeout(120_000)
  const ours = await mkdtemp(join(tmpdir(), 'whistlestop-ours-'))
  await mkdir(join(ours, 'cards'))
  await page.setViewportSize({ width: 390, height: 844 })
  await page.goto('about:blank')
  const photo = await photoOfKeys(page, 2, 2, 'image/jpeg')
  await writeFile(join(ours, 'cards', 'north.toml'), ownCard)
  await writeFile(join(ours, 'cards', 'north.jpg'), photo)
  const folder = await writtenSite('--with', ours)
  const host = await Host.open(folder, '/club/')
  try {
    await page.goto(host.address)
    await engineRuns(page)
    await siteIsKept(page)
    await expect(page.locator('[data-progress=own-rink]')).toContainText('Northmole Ice House')
    await host.close()
    await context.setOffline(true)
    await page.goto('about:blank')
    await page.goto(host.address)
    await engineRuns(page)
    await page.locator('[data-progress=own-rink]').click()
    await page.locator('[data-drill=power_play]').click()
    await expect(page.locator('[data-photo=picture]')).toBeVisible()
    await follow(page)
    await expect(at(page, 'grade').locator('h1')).toHaveText('100 of 100')
  } finally {
    await host.close()
    await rm(dirname(folder), { recursive: true, force: true })
    await rm(ours, { recursive: true, force: true })
  }
})
