import { expect } from '@playwright/test'
import type { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { openGame } from '../harness/game.ts'
import { Past } from '../harness/past.ts'

// Each kind of reason in READY and HOLD, settled with one tap and set aside with one.

type Weight = 'hold' | 'look' | 'owed'

/** The row that says this, in the bar or in the list behind it. */
function row(bench: Bench, weight: Weight, words: string | RegExp) {
  return bench.page.locator(`[data-bench="${weight}"]`).filter({ hasText: words })
}

async function tap(bench: Bench, weight: Weight, words: string | RegExp, act: string): Promise<void> {
  await bench.posting(() => row(bench, weight, words).locator(`[data-bench="${act}"]`).first().click())
}

async function expectReady(bench: Bench, shown: 'ready' | 'hold'): Promise<void> {
  await expect(bench.at('ready')).toHaveAttribute('data-ready', shown)
}

test('owed to the book: filled in, put on the roster, or set aside until the break', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('9:00')
  await past.penalty('visitors', '', 'hooking')
  await past.goal('home', '99')
  await expectReady(bench, 'ready')
  await expect(bench.at('hold-more')).toHaveText('2 missing')
  await bench.at('hold-more').click()

  await tap(bench, 'owed', '99', 'add-player')
  await expect(row(bench, 'owed', '99')).toHaveCount(0)
  await tap(bench, 'owed', 'Number of Lanternside', 'set-aside')
  await expect(bench.at('hold-more')).toHaveCount(0)

  // A break is the moment for it.
  await past.runOut()
  await past.begin('intermission', 1)
  await expect(bench.at('hold-more')).toContainText('1')
  await bench.at('hold-more').click()
  await row(bench, 'owed', 'Number of Lanternside').locator('[data-bench=fill-in]').click()
  await bench.tapNumber('14')
  await bench.tapPost()
  await expect(row(bench, 'owed', /./)).toHaveCount(0)
})

test('what is owed can be filled in while play goes on', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.penalty('visitors', '', 'hooking')
  await bench.startClock()
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'play')
  await bench.at('hold-more').click()
  await row(bench, 'owed', 'Number').locator('[data-bench=fill-in]').click()
  await bench.tapNumber('14')
  await bench.tapPost()
  await expect(bench.at('hold-more')).toHaveCount(0)
})

test('ends change: one tap says that it is done', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.runOut()
  await past.begin('intermission', 1)
  await past.begin('period', 2)
  await expectReady(bench, 'ready')
  await expect(row(bench, 'look', 'Ends change')).toBeVisible()
  await tap(bench, 'look', 'Ends change', 'settle')
  await expect(row(bench, 'look', 'Ends change')).toHaveCount(0)
})

test('an empty net: the goalkeeper is back with one tap, or stays out until the next whistle', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.keeper('visitors', '30')
  await past.whistle('2:00')
  await past.keeper('visitors')
  await expectReady(bench, 'ready')
  await expect(bench.at('net-empty-visitors')).toBeVisible()
  await tap(bench, 'look', "Lanternside's net is empty", 'set-aside')
  await expect(row(bench, 'look', 'net is empty')).toHaveCount(0)
  await past.whistle('1:30')
  await expect(row(bench, 'look', 'net is empty')).toContainText('30 is back')
  await tap(bench, 'look', 'net is empty', 'settle')
  await expect(bench.at('net-empty-visitors')).toHaveCount(0)
  await expect(row(bench, 'look', 'net is empty')).toHaveCount(0)
})

test('a penalised player who is not in the box holds the puck, if the bench wants that', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.work({ clock: 'lead', confirm_box: true })
  await past.whistle('9:00')
  await past.penalty('home', '17', 'hooking')
  await past.whistle('8:50')
  await past.penalty('visitors', '', 'tripping')
  await expectReady(bench, 'hold')
  await bench.at('hold-more').click()
  await tap(bench, 'hold', 'Which player of Lanternside', 'set-aside')
  await expect(bench.at('hold')).toHaveCount(1)
  await tap(bench, 'hold', 'Kelp Bay 17', 'settle')
  await expectReady(bench, 'ready')
})

test('who sits is asked, and can be set aside', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('9:00')
  await past.penalty('home', '17', 'roughing', ['minor', 'misconduct'])
  await expectReady(bench, 'hold')
  await row(bench, 'hold', 'Who sits').locator('[data-bench=fill-in]').click()
  await expect(bench.at('served-by')).toBeVisible()
  await bench.at('clear').click()
  await tap(bench, 'hold', 'Who sits', 'set-aside')
  await expectReady(bench, 'ready')
})

test('a captain names a player in the bar itself, or the usual order stands', async ({ bench, program, game, wall }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('10:00')
  await past.penalty('home', '17', 'tripping')
  await past.penalty('home', '6', 'hooking')
  await past.whistle('9:30')
  await past.goal('visitors', '8')
  await expectReady(bench, 'hold')
  await tap(bench, 'hold', 'captain', 'set-aside')
  await expectReady(bench, 'ready')
  await expect(wall.bars('home')).toHaveAttribute('data-player', '6')
  // Taking that back asks again.
  await bench.at('undo').click()
  await bench.tapPost()
  await expectReady(bench, 'hold')
  const answer = row(bench, 'hold', 'captain').locator('[data-bench=pick]').filter({ hasText: '6' })
  await bench.posting(() => answer.click())
  await expect(wall.bars('home')).toHaveAttribute('data-player', '17')
  await expectReady(bench, 'ready')
})

test('running time is proposed at the lead, and is on or set aside with one tap', async ({ page, bench, program }) => {
  const game = await openGame(program, 'harbour-u12')
  const past = new Past(program, game)
  await past.begin('period', 2)
  await past.whistle('9:00')
  for (let i = 0; i < 5; i++) await past.goal('home', '9')
  await bench.open(`${program.origin}/bench/${game}`)
  await expectReady(bench, 'ready')
  await expect(row(bench, 'look', 'The lead is 5; at 7')).toBeVisible()
  for (let i = 0; i < 2; i++) await past.goal('home', '9')
  await expectReady(bench, 'hold')
  await tap(bench, 'hold', 'A lead of 7: running time?', 'set-aside')
  await expectReady(bench, 'ready')
  await past.goal('home', '9')
  await tap(bench, 'hold', 'A lead of 8: running time?', 'settle')
  await expect(bench.at('manner')).toContainText('running time')
  await expect(page.locator('[data-bench=hold]')).toHaveCount(0)
})

test('the steps of the rink card: done one by one, all at once, or set aside until the next whistle', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.work({ clock: 'lead', wait_for_ticks: true })
  await past.whistle('9:00')
  await past.card()
  await past.penalty('visitors', '5', 'hooking')
  await expectReady(bench, 'hold')
  await tap(bench, 'hold', "On the rink's board", 'set-aside')
  await expectReady(bench, 'ready')
  await bench.startClock()
  await bench.stopClock()
  await expectReady(bench, 'hold')
  await tap(bench, 'hold', "On the rink's board", 'settle')
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '1')
  await past.goal('visitors', '8')
  await tap(bench, 'hold', "On the rink's board", 'settle-all')
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '0')
  await expectReady(bench, 'ready')
})

test('without the coordinator\'s word the rink card only reminds', async ({ bench, program, game }) => {
  const past = new Past(program, game)
  await past.begin('period', 1)
  await past.whistle('9:00')
  await past.card()
  await past.goal('home', '9')
  await expectReady(bench, 'ready')
  await expect(row(bench, 'look', "On the rink's board")).toBeVisible()
  // By key: the digits go through what is to be settled.
  await bench.posting(() => bench.page.keyboard.press('Alt+1'))
  await expect(row(bench, 'look', "On the rink's board")).toHaveCount(0)
  await expect(bench.at('card')).toHaveAttribute('data-waiting', '0')
})
