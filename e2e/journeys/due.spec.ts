import { type Page, expect } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { Phone } from '../harness/phone.ts'
import { Program } from '../harness/program.ts'
import { openGame } from '../harness/game.ts'
import { openWall } from '../harness/wall.ts'

// Who comes out now is said large on every screen: from ten seconds before until
// play goes on, or until the Box seat has seen it.

const due = (page: Page, phase: string) => page.locator(`[data-due] [data-due-phase=${phase}]`)

/** Reads the card of a release on a page: its number is large. */
async function large(page: Page, phase: string, number: string, words: RegExp) {
  const card = due(page, phase)
  await expect(card).toHaveCount(1)
  await expect(card.locator('.number')).toHaveText(number)
  await expect(card).toContainText(words)
  const size = await card.locator('.number').evaluate((one) => parseFloat(getComputedStyle(one).fontSize))
  expect(size).toBeGreaterThanOrEqual(40)
}

/** At a whistle the bench says it once: in the list of what is to be done. */
async function first(bench: Bench, words: RegExp) {
  const row = bench.page.locator('[data-bench=todo-tick][data-todo=out]')
  await expect(row).toContainText(words)
  const size = await row.locator('b').evaluate((one) => parseFloat(getComputedStyle(one).fontSize))
  expect(size).toBeGreaterThanOrEqual(30)
  await expect(bench.page.locator('[data-due-phase=now], [data-bench=leaving]')).toHaveCount(0)
}

async function minorOf17(bench: Bench) {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('h 17 trip')
}

test('a penalty that runs out: from ten seconds before, beyond 0, until play goes on after the whistle', async ({ bench, wall }) => {
  await minorOf17(bench)
  await bench.setClock('8:41')
  await expect(bench.page.locator('[data-due]')).toHaveCount(0)
  await bench.setClock('8:31') // out at 8:30
  for (const page of [bench.page, wall.page]) await large(page, 'soon', '17', /Kelp Bay.*home gate/)
  await bench.startClock()
  for (const page of [bench.page, wall.page]) await large(page, 'now', '17', /Out now.*home gate.*time served/)
  await expect(bench.at('alert')).toContainText('Out now: Kelp Bay 17')
  await bench.stopClock()
  await first(bench, /17.*Kelp Bay/)
  await bench.at('command').fill('v 8')
  await expect(bench.at('leaving')).toContainText('Kelp Bay 17')
  await bench.at('command').fill('')
  await bench.startClock()
  for (const page of [bench.page, wall.page]) await expect(page.locator('[data-due]')).toHaveCount(0)
})

test('a power-play goal: READY names who is let out, until the puck is dropped', async ({ bench, wall }) => {
  await minorOf17(bench)
  await bench.setClock('9:20')
  await bench.typeCall('g v 8 23')
  await large(wall.page, 'now', '17', /Out now.*released by the goal/)
  await first(bench, /17.*Kelp Bay.*home gate.*released by the goal/)
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
  await expect(bench.at('ready-said')).toContainText('Let out now: Kelp Bay 17, home gate.')
  await bench.startClock()
  await expect(bench.page.locator('[data-due]')).toHaveCount(0)
  await expect(wall.page.locator('[data-due]')).toHaveCount(0)
})

test('the Wall has names only where the coordinator lets them out', async ({ bench, wall }) => {
  await minorOf17(bench)
  await bench.setClock('8:35')
  await large(bench.page, 'soon', '17', /[A-Z]\w+ [A-Z]\w+ · home gate/)
  await large(wall.page, 'soon', '17', /Kelp Bay · home gate/)
})

test('the Clock seat reads it as large, and the Box seat takes it away', async ({ browser, page }) => {
  const program = await Program.lan()
  try {
    const game = await openGame(program, 'harbour-u14')
    const bench = new Bench(page)
    await bench.open(`${program.origin}/bench/${game}`)
    const clock = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Clock phone')
    const box = await Phone.seated(browser, program, bench, { seat: 'box', side: 'home' }, 'Box phone')
    const wall = await (await browser.newContext()).newPage()
    await openWall(wall, `${program.origin}/wall/${game}`)
    await minorOf17(bench)
    await bench.setClock('9:20')
    await bench.typeCall('g v 8 23')
    for (const one of [clock.page, wall]) await large(one, 'now', '17', /Out now/)
    await first(bench, /17/)
    await bench.posting(() => box.at('out').click())
    for (const one of [page, clock.page, wall]) await expect(one.locator('[data-due]')).toHaveCount(0)
    await clock.context.close()
    await box.context.close()
  } finally {
    await program.close()
  }
})
