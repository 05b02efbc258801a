import { expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import { expectBoth, short } from './both.ts'
import type { WallPage } from './fixtures.ts'
import { draw, Touch } from './touch.ts'

// Whole games by touch alone, on a phone, on any bench. The minutes between the acts are taken off the clock
// by its own pad.

/** A game from before the warm-up to the sealed report. The Wall is looked at on the way. */
export async function wholeGame(bench: Bench, wall: WallPage): Promise<void> {
  const { page } = bench
  const touch = new Touch(bench)
  const stage = bench.at('stage')
  await page.bringToFront()
  await touch.next()
  await expect(stage).toHaveText(/warm-up/i)
  await touch.next()
  await expect(stage).toHaveText(/1st period/i)
  await touch.clock(true)
  await touch.clock(false)
  await touch.setClock('1000')

  // One from each side at one whistle, collected and posted together: four against four.
  await touch.penalty('home', '17', 'roughing')
  await touch.tap('collect')
  await touch.penalty('visitors', '22', 'hooking')
  await touch.tap('collect')
  await touch.penalty('visitors', '5', 'tripping')
  await touch.post('post')
  await expectBoth(bench, wall, { clock: '10:00', score: ['0', '0'], ice: ['5', '4'], box: [short('17 1:30').map((one) => ({ ...one, short: false })), [{ number: '22', left: '1:30', short: false }, ...short('5 1:30')]] })

  // A power-play goal is posted, taken back and put in again, each shown before it counts.
  await touch.clock(true)
  await touch.clock(false)
  await touch.setClock('920')
  await touch.goal('home', '9', '12')
  await expect(wall.at('score-home')).toHaveText('1')
  await touch.tap('undo')
  await bench.considered()
  await touch.post('post')
  await expect(wall.at('score-home')).toHaveText('0')
  await touch.tap('redo')
  await bench.considered()
  await touch.post('post')
  await expect(wall.at('score-home')).toHaveText('1')
  await expect(bench.page.locator('[data-todo=out]')).toContainText('5 out: Lanternside')

  await touch.runOut()
  await touch.next()
  await expect(stage).toHaveText(/intermission/i)
  await touch.next() // cut short: asked about, with a second tap
  await expect(stage).toHaveText(/2nd period/i)

  await touch.clock(true)
  await touch.clock(false)
  await touch.tap('kind-time_out')
  await touch.tap('side-visitors')
  await bench.considered()
  await touch.post('post')
  await touch.goal('visitors', '8')
  await expect(wall.at('score-visitors')).toHaveText('1')
  await touch.runOut()
  await touch.next()
  await touch.next()
  await expect(stage).toHaveText(/3rd period/i)

  // In the last minutes the scorer was another one, which is put right from the book.
  await touch.clock(true)
  await touch.clock(false)
  await touch.setClock('100')
  await touch.goal('home', '21')
  const wrong = bench.line(/Goal, Kelp Bay 21/)
  if (!(await wrong.locator('[data-bench=amend]').isVisible())) await touch.tap(wrong.locator('[data-bench=line-touch]'))
  await touch.tap(wrong.locator('[data-bench=amend]'))
  await touch.tap('slot-who')
  await touch.number('7')
  await bench.considered()
  await touch.post('post')
  await expect(bench.line(/Goal, Kelp Bay 7/)).toHaveAttribute('data-amended', 'true')
  await touch.runOut()
  await touch.next()
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ended')

  await touch.tap('to-report')
  const at = (name: string) => page.locator(`[data-report="${name}"]`)
  await expect(at('aloud')).toContainText('Kelp Bay 2, Lanternside 1.')
  await at('person-add').tap()
  await at('person-name').fill('Dee Breakwater')
  await at('people-post').tap()
  await expect(at('people-post')).toBeDisabled()
  await at('sign-name').fill('Dee Breakwater')
  await draw(page, at('pen'))
  // A list of names that is still open takes the first tap for itself.
  await expect(async () => {
    if (await at('sign').isEnabled()) await at('sign').tap()
    await expect(at('signature')).toContainText('Dee Breakwater', { timeout: 5000 })
  }).toPass()
  if (await at('missing').isVisible()) await at('missing').fill('The goalkeepers were not written down.')
  await at('seal').tap()
  await expect(at('page')).toHaveAttribute('data-sealed', 'true')
}

/** A game beside the rink's own board, whose clock is official. */
export async function gameBesideABoard(bench: Bench): Promise<void> {
  const { page } = bench
  const touch = new Touch(bench)
  const board = async (digits: string) => {
    await touch.tap('board-match')
    for (const digit of digits) await touch.tap(`pad-${digit}`)
    await touch.post('board-read')
  }
  // Before the game: the board is official, and the rink's card says what its keys want.
  await touch.tap('help')
  await touch.tap('work')
  await touch.tap('work-beside')
  await touch.post('work-post')
  if (!(await bench.at('cards').isVisible())) { await touch.tap('help'); await touch.tap('work') }
  await touch.post(page.locator('[data-bench=card-file][data-card=saltworks] [data-bench=card-use]'))
  if (await bench.at('work-close').isVisible()) await touch.tap('work-close')

  await touch.next()
  await touch.next()
  await expect(bench.at('stage')).toHaveText(/1st period/i)
  await touch.board(1) // the puck drops: the board's own clock is started
  await touch.clock(true)
  await touch.clock(false)
  await board('1000')
  await expect(bench.at('clock')).toHaveText('10:00')

  // A penalty: what has to be done on the board is said, one step at a time.
  await touch.penalty('visitors', '5', 'hooking')
  await touch.post('post')
  await touch.board(2)
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')

  // The board is read against ours, and agrees.
  await touch.tap('more-stages')
  await touch.tap('board-check-more')
  await expect(bench.at('reading-clock')).toHaveText('10:00')
  await expect(bench.at('reading-line-visitors').first()).toHaveText(/05\s*1:30/)
  await touch.post('reading-agrees')

  // A goal ends it, late in the period another one goes on into the break.
  await touch.clock(true)
  await touch.clock(false)
  await board('920')
  await touch.goal('home', '9', '12')
  await expect(bench.page.locator('[data-todo=out]')).toContainText('5 out: Lanternside')
  await touch.board(2)
  await touch.clock(true)
  await touch.clock(false)
  await board('020')
  await touch.penalty('home', '17', 'tripping')
  await touch.post('post')
  await touch.board(2)
  await touch.runOut()
  await touch.next()
  await expect(bench.at('stage')).toHaveText(/intermission/i)

  // Nobody has to remember that this board would run the penalty down in the break: the card says it,
  // the check says it, and without a card the bench does.
  await touch.tap('more-stages')
  await touch.tap('board-check-more')
  await expect(bench.at('reading-hold')).toBeVisible()
  await touch.tap('reading-close')
  await expect(bench.at('card-next')).toContainText(/the penalties stand still/)
  await touch.tap('help')
  await touch.tap('work')
  await touch.post('card-away')
  await touch.tap('work-close')
  if (await bench.at('hold-more').isVisible()) await touch.tap('hold-more')
  await expect(page.locator('[data-bench=ready], [data-bench=hold-list]').filter({ hasText: /stop its penalty clock/ }).first()).toBeVisible()
  await touch.next()
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
  await expect(bench.at('ready')).toContainText('Back in the box for Kelp Bay: 17?')
  await touch.post(page.locator('[data-bench=ready] [data-bench=settle], [data-bench=hold-list] [data-bench=settle]').first())

  // And on to the end: the board runs down, breaks pass, the report has what was entered.
  await touch.runOut()
  await touch.next()
  await expect(bench.at('stage')).toHaveText(/2nd intermission/i)
  await touch.next()
  await expect(bench.at('stage')).toHaveText(/3rd period/i)
  await touch.runOut()
  await touch.next()
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ended')
  await touch.tap('to-report')
  await expect(page.locator('[data-report="aloud"]')).toContainText('Kelp Bay 1, Lanternside 0.')
}
