import { expect, type Page } from '@playwright/test'
import { runsAt } from '../harness/behind.ts'
import { corrections } from '../harness/corrections.ts'
import type { Host } from '../harness/host.ts'
import { introduced } from '../harness/introduce.ts'
import { newcomersGame } from '../harness/newcomer.ts'
import { twoAtOneWhistle } from '../harness/one-whistle.ts'
import { Past } from '../harness/past.ts'
import { letIn } from '../harness/phone.ts'
import { newGame, shownGame, threadOf, wallWindow } from '../harness/pocket.ts'
import { test } from '../harness/pocket-site.ts'
import type { Scene } from '../harness/scene.ts'
import { SeatPage } from '../harness/seats.ts'
import { whistles } from '../harness/whistles.ts'

// Whistles, mistakes at them, and somebody new, on a bench that is a page: the hands of the journeys on a computer.

const division = 'harbour-u14'

/** Plays each scene in a new game of one page. */
async function inTurn(scenes: Scene[], games: Page, host: Host): Promise<void> {
  for (const { name, play } of scenes) await test.step(name, async () => {
    await games.goto(`${host.address}#game`)
    const bench = await newGame(games, { division })
    const wall = await wallWindow(games)
    await play({ bench, wall })
    await wall.page.close()
  })
}

test('mistakes at a whistle are put right', async ({ games, host }) => inTurn(corrections, games, host))

test('whistles, duty by duty', async ({ games, host }) => inTurn(whistles, games, host))

test('two people stop the clock at one whistle: it stands', async ({ games, browser }) => {
  const bench = await newGame(games, { division })
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true })
  const phone = await context.newPage()
  await bench.setUp('seats')
  await games.locator('[data-bench=seat-invite][data-seat=clock]').click()
  await introduced(games, phone)
  await phone.locator('[data-join=device]').fill('Clock phone')
  await phone.locator('[data-join=go]').click()
  await letIn(bench, 'Clock phone')
  await bench.at('seats-close').click()
  await bench.begin('1st period')
  await twoAtOneWhistle(bench, new SeatPage(phone), () => runsAt(threadOf(games), shownGame(games)))
  await context.close()
})

test.describe('on a phone', () => {
  test.use({ viewport: { width: 390, height: 844 } })

  test('the heaviest control is always something that may come next, through a game', async ({ games }) => {
    const bench = await newGame(games, { division })
    expect(await newcomersGame(bench, new Past(threadOf(games), shownGame(games)))).toEqual([])
  })
})
