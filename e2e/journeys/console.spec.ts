import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { expect, type Page, test as base } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { Bench } from '../harness/bench.ts'
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

/** A division and a script of an association's own, made of the demo's and as people write them. */
async function ownRules(): Promise<{ division: string; script: string }> {
  const demo = await readFile(new URL('../../game/rulebook/divisions/harbour-u10.toml', import.meta.url), 'utf8')
  const division = demo.replace('"harbour-u10"', '"northmole-u9"').replace('"Under 10"', '"Under 9 of Northmole"')
  const script = `practice 1
id       two-goals
title    Two goals of Northmole
level    2
seed     2
division northmole-u9
drill    yes
begin    2 6:00
skills   score
home     Northmole: 1g 4 5 7 8 9 11 12
visitors Lanternside: 2 3 6 8 9 10 30g

period 2
6:00  puck
5:46  goal home 9 from 7 12
5:20  goal visitors 3
`
  return { division, script }
}

/** The association's own stands on the menu: its console, its division, its script; each is opened and is there. */
async function seesItsOwn(page: Page): Promise<void> {
  const own = (name: string) => page.locator(`[data-progress="${name}"]`)
  await expect(own('own-rink')).toContainText('Northmole Ice House')
  await expect(own('own-game')).toContainText('Under 9 of Northmole')
  await expect(own('own-script')).toHaveText('Two goals of Northmole')
}

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

/** Enters on the bench's own screen what the referee says, or another number. */
async function enterAtBench(page: Page, other = ''): Promise<void> {
  const [, kind = '', side = '', number = ''] = /(Goal|Penalty): (home|visitors), number (\d+)/.exec((await at(page, 'say').textContent()) ?? '') ?? []
  const book = new Bench(page)
  const turn = page.locator('[data-console=turn][data-to=bench]')
  if (await turn.count() > 0) await turn.click()
  await book.beginCall(kind.toLowerCase() as 'goal' | 'penalty', side)
  await book.tapNumber(other === '' ? number : other)
  if (kind === 'Goal') await book.at('unassisted').click()
  else await page.locator('[data-bench=call-choice][data-call=tripping]').click()
  await book.considered()
  await book.at('post').click()
}

/** Presses what is shown until the drill is over. */
async function follow(page: Page): Promise<void> {
  for (let presses = 0; presses < 400; presses++) {
    const play = at(page, 'play')
    if (await play.getAttribute('data-over') === 'true') return
    const acts = Number(await play.getAttribute('data-acts'))
    const next = page.locator('[data-console=key].next, [data-photo=key].next')
    const duty = page.locator('[data-console=duty]:not([data-duty=other]):not([disabled])')
    const bench = at(page, 'bench')
    if (await next.count() === 0 && await at(page, 'done').count() === 0 && await bench.count() > 0 && await bench.getAttribute('data-entered') === '0') {
      await enterAtBench(page)
      await expect(play).toHaveAttribute('data-acts', String(acts + 1))
      continue
    }
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
  await at(page, 'lamps').fill('home lamp, guest lamp')
  await step(page, 'before_game', 'Pull the main lever, then set the clock to {time}.', ['main lever', '{time}', 'green tile'])
  await step(page, 'goal', 'Touch the star of {side}.', ['{side} star'])
  const goal = page.locator('[data-console=happening][data-when=goal]')
  await goal.locator('[data-console=lamp]').selectOption('lit')
  await expect(goal.locator('[data-console=seen-lamps]')).toHaveText('Board: home lamp lit')
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
  await posted.locator('[data-console=lamp][data-lamp="{side} lamp"]').selectOption('dark')
  // A lamp that the board has no more is named beside the step that lights it.
  const lampFault = page.locator('[data-console=fault][data-field="goal.0.lamps"]')
  await at(page, 'lamps').fill('home lamp, guest light')
  await expect(lampFault).toContainText('guest lamp')
  await at(page, 'lamps').fill('home lamp, guest lamp')
  await expect(lampFault).toHaveCount(0)
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
  await expect(at(page, 'paper')).toHaveCount(0)
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
  await bench('board-check').click()
  await expect(bench('reading-lamps')).toHaveText('guest lamp dark')
  await bench('reading-close').click()
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
  // What the key did instead is seen on the board: it lit a lamp that stays dark for a penalty.
  await expect(page.locator('[data-console=lamp][data-lamp="home lamp"]')).toHaveAttribute('data-lit', 'true')
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
  test.setTimeout(240_000)
  const ours = await mkdtemp(join(tmpdir(), 'whistlestop-ours-'))
  await mkdir(join(ours, 'cards'))
  await page.setViewportSize({ width: 390, height: 844 })
  await page.goto('about:blank')
  const photo = await photoOfKeys(page, 2, 2, 'image/jpeg')
  await writeFile(join(ours, 'cards', 'north.toml'), ownCard)
  await writeFile(join(ours, 'cards', 'north.jpg'), photo)
  const rules = await ownRules()
  for (const [folder, name, text] of [['divisions', 'u9.toml', rules.division], ['scripts', 'two.practice', rules.script]] as const) {
    await mkdir(join(ours, folder))
    await writeFile(join(ours, folder, name), text)
  }
  const folder = await writtenSite('--with', ours)
  const host = await Host.open(folder, '/club/')
  try {
    await page.goto(host.address)
    await engineRuns(page)
    await siteIsKept(page)
    await seesItsOwn(page)
    await host.close()
    await context.setOffline(true)
    await page.goto('about:blank')
    await page.goto(host.address)
    await engineRuns(page)
    await seesItsOwn(page)
    for (const name of ['own-game', 'own-script']) {
      await page.locator(`[data-progress=${name}]`).click()
      await expect(page.locator('[data-practice=go]')).toBeVisible()
      await page.locator('[data-practice=leave]').click()
      await seesItsOwn(page)
    }
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

test('a coordinator puts card, photo, division and script into one link: parents open it, choose nothing, and keep it', async ({ page, program, browser }, info) => {
  test.setTimeout(120_000)
  await page.setViewportSize({ width: 390, height: 844 })
  await page.goto('about:blank')
  const photo = await photoOfKeys(page, 2, 2, 'image/jpeg')
  const lines = photo.toString('base64').match(/.{1,96}/g) ?? []
  const contact = '[[contacts]]\nwho = "Ice master Wren"\ncall = "extension 7"\n'
  const withPhoto = (text: string) => [`${text}#picture: jpeg base64`, ...lines.map((one) => `# ${one}`), ''].join('\n')
  const file = withPhoto(`${ownCard}${contact}`)
  await page.goto(`${program.origin}/practice/#console`)
  // A card with too much to read for its page says in the editor which steps to shorten.
  const many = (text: string) => `[${`${text}, `.repeat(19)}]`
  const wordy = ['horn', 'running_time', 'time_out'].map((when) => `[[steps]]\nwhen = "${when}"\ndo = ${many(`"${'Hold the long latch and read it. '.repeat(3).trim()}"`)}\npress = ${many("'red tile, blue tile, red tile, blue tile, red tile, blue tile, red tile, blue tile'")}\n`)
  await page.locator('[data-progress=card-file]').setInputFiles({ name: 'wordy.toml', mimeType: 'text/plain', buffer: Buffer.from(withPhoto(`${ownCard}${wordy.join('')}`)) })
  await expect(at(page, 'paper')).toContainText('shorten the steps of: ')
  await at(page, 'form-done').click()
  await at(page, 'remove').click()
  await at(page, 'remove-sure').click()
  await page.locator('[data-progress=card-file]').setInputFiles({ name: 'north.toml', mimeType: 'text/plain', buffer: Buffer.from(file) })
  await expect(at(page, 'photo')).toHaveAttribute('data-marks', '2')
  await page.goto(`${program.origin}/practice/#coordinator`)
  const rules = await ownRules()
  const own = (name: string, on = page) => on.locator(`[data-progress="${name}"]`)
  await expect(own('ours-card')).toBeChecked()
  await own('ours-divisions').setInputFiles({ name: 'u9.toml', mimeType: 'text/plain', buffer: Buffer.from(rules.division) })
  await own('ours-scripts').setInputFiles({ name: 'two.practice', mimeType: 'text/plain', buffer: Buffer.from(rules.script) })
  await expect(own('ours-files')).toContainText('two.practice')
  await own('ours-make').click()
  const link = await own('ours-is').inputValue()
  console.log(`the link has ${link.length} letters, of a photo of ${photo.length} bytes`)
  expect(link.length).toBeLessThan(40_000)
  await own('ours').scrollIntoViewIfNeeded()
  await page.screenshot({ path: info.outputPath('link.png') })
  expect(await beyond(page)).toBe(0)
  expect(await violations(page)).toEqual([])

  const other = await browser.newContext({ viewport: { width: 390, height: 844 } })
  const parent = await other.newPage()
  await parent.goto(link)
  await seesItsOwn(parent)
  await parent.screenshot({ path: info.outputPath('parent.png') })
  expect(await beyond(parent)).toBe(0)
  // The address alone opens it again, and so does a later visit without the link.
  await parent.goto('about:blank')
  await parent.goto(`${program.origin}/practice/`)
  await seesItsOwn(parent)
  await own('own-game', parent).click()
  await expect(parent.locator('[data-practice=go]')).toBeVisible()
  await parent.reload()
  await parent.goto(`${program.origin}/practice/`)
  await own('own-rink', parent).click()
  await parent.locator('[data-drill=power_play]').click()
  await expect(parent.locator('[data-photo=picture]')).toBeVisible()
  await follow(parent)
  await expect(at(parent, 'grade').locator('h1')).toHaveText('100 of 100')
  expect(JSON.stringify(await parent.evaluate(() => ({ ...localStorage })))).not.toContain('Wren')

  // A link that was cut says so, and takes nothing away; what came can be forgotten.
  await parent.goto('about:blank')
  await parent.goto(link.slice(0, -2000))
  await expect(parent.locator('[data-practice=ours-bad]')).toContainText('Ask for the link again')
  await parent.goto(`${program.origin}/practice/#menu`)
  await seesItsOwn(parent)
  await own('ours-forget', parent).click()
  await own('ours-forget-yes', parent).click()
  await expect(own('menu', parent)).toBeVisible()
  await expect(own('own', parent)).toHaveCount(0)
  await other.close()
})

test('a whole game beside the console has the bench beside it: both are worked, and have to agree', async ({ page, program }, info) => {
  test.setTimeout(240_000)
  await page.setViewportSize({ width: 390, height: 844 })
  await page.emulateMedia({ reducedMotion: 'reduce' })
  await page.goto(`${program.origin}/practice/#console/r0/drills`)
  await page.locator('[data-drill=whole_game]').click()
  await expect(at(page, 'say')).toBeVisible()
  const bench = at(page, 'bench')
  // To the first whistle with something to enter: the console first, then the bench says nothing yet.
  for (let presses = 0; presses < 60; presses++) {
    const play = at(page, 'play')
    const acts = Number(await play.getAttribute('data-acts'))
    const next = page.locator('[data-console=key].next')
    if (await bench.count() > 0 && await next.count() === 0) break
    await (await next.count() > 0 ? next : at(page, 'done')).click()
    await expect(play).toHaveAttribute('data-acts', String(acts + 1))
  }
  await expect(bench).toHaveAttribute('data-agrees', 'false')
  await at(page, 'ready').click()
  await expect(at(page, 'told')).toContainText('not ready')
  // Another number than the referee said: the board reads otherwise than the bench, or the book would.
  const said = /number (\d+)/.exec((await at(page, 'say').textContent()) ?? '')?.[1]
  await enterAtBench(page, said === '2' ? '3' : '2')
  await expect(bench).toHaveAttribute('data-entered', '1')
  await page.screenshot({ path: info.outputPath('beside.png') })
  await at(page, 'ready').click()
  await expect(at(page, 'told')).toContainText('undo it there')
  expect(await beyond(page)).toBe(0)
  expect(await violations(page)).toEqual([])
  // It goes on after a reload, on the bench too; what was posted is undone there as in a game.
  await page.reload()
  await page.locator('[data-console=turn][data-to=bench]').click()
  await expect(bench).toHaveAttribute('data-entered', '1')
  const book = new Bench(page)
  await book.at('undo').click()
  await book.considered()
  await book.at('post').click()
  await expect(bench).toHaveAttribute('data-entered', '0')
  await enterAtBench(page)
  await expect(bench).toHaveAttribute('data-agrees', 'true')
  // What is begun on the bench and not posted is HOLD there: the referee waits, and says so.
  await book.beginCall('goal', 'home')
  await page.locator('[data-console=turn][data-to=console]').click()
  await at(page, 'ready').click()
  await expect(at(page, 'told')).toContainText('HOLD')
  await page.locator('[data-console=turn][data-to=bench]').click()
  await book.at('clear').click()
  await page.setViewportSize({ width: 1280, height: 800 })
  await expect(at(page, 'play')).toBeVisible()
  await expect(bench).toBeVisible()
  await page.screenshot({ path: info.outputPath('beside-laptop.png') })
  expect(await violations(page)).toEqual([])
  await page.setViewportSize({ width: 390, height: 844 })
  await follow(page)
  await expect(at(page, 'grade').locator('h1')).toHaveText(/^9\d of 100$/)
})
