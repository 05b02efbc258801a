import { type Locator, type Page, test as base } from '@playwright/test'
import { Bench } from './bench.ts'
import { openGame } from './game.ts'
import { Program } from './program.ts'
import { openWall } from './wall.ts'

/** The Wall as a page with its hooks. */
export interface WallPage {
  page: Page
  at(name: string): Locator
  bars(side: 'home' | 'visitors'): Locator
}

interface Rink {
  program: Program
  game: string
  bench: Bench
  wall: WallPage
}

/** A running program with a new Under 14 game, its bench and its Wall. */
export const test = base.extend<Rink & { alone: void }>({
  // Pages of phones and other devices that a journey opened go with it: they would count on, and knock at
  // a program that is gone, beside every journey that comes after.
  alone: [async ({ browser }, use) => {
    await use()
    await Promise.all(browser.contexts().map((one) => one.close()))
  }, { auto: true }],
  program: async ({}, use) => {
    const program = await Program.empty()
    await use(program)
    await program.close()
  },
  game: async ({ program }, use) => {
    await use(await openGame(program, 'harbour-u14'))
  },
  bench: async ({ page, program, game }, use) => {
    const bench = new Bench(page)
    await bench.open(`${program.origin}/bench/${game}`)
    await use(bench)
  },
  wall: async ({ context, program, game }, use) => {
    const page = await context.newPage()
    await page.setViewportSize({ width: 1920, height: 1080 })
    await openWall(page, `${program.origin}/wall/${game}`)
    await use({
      page,
      at: (name) => page.locator(`[data-wall="${name}"]`),
      bars: (side) => page.locator(`[data-wall=bar][data-side=${side}]`),
    })
  },
})
