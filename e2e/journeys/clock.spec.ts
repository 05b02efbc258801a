import { expect } from '@playwright/test'
import type { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'

// The clock put right, kept beside the rink's board, or left running; and the way back.

async function workAs(bench: Bench, mode: 'lead' | 'follow' | 'beside', more: string[] = []): Promise<void> {
  await bench.setUp('work')
  await bench.at(`work-${mode}`).click()
  for (const name of more) await bench.at(name).click()
  await bench.posting(() => bench.at('work-post').click())
}

test('nine seconds put back take along what was entered at the whistle', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await bench.setClock('8:00')
  await bench.typeCall('h 17 trip')
  await bench.at('clock').click()
  await bench.page.locator('[data-bench=clock-way][data-way="+"]').click()
  await bench.at('pad-9').click()
  await expect(bench.at('clock-sentence')).toContainText('8:09 instead of 8:00')
  await expect(bench.at('clock-moves')).toHaveAttribute('aria-checked', 'true')
  await bench.posting(() => bench.at('clock-set').click())
  await expect(wall.at('clock')).toHaveText('8:09')
  await expect(wall.bars('home')).toHaveText([/17\s*1:30/])

  // Further off than a minute it is the clock only that was wrong.
  await bench.at('clock').click()
  await bench.at('clock-field').fill('6:39')
  await expect(bench.at('clock-moves')).toHaveAttribute('aria-checked', 'false')
  await bench.posting(() => bench.page.keyboard.press('Enter'))
  await expect(wall.bars('home')).toHaveCount(0)
})

test('a second or two after the whistle go back in one tap', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await bench.setClock('8:00')
  await bench.posting(() => bench.at('clock-back-2').click())
  await expect(wall.at('clock')).toHaveText('8:02')
  await bench.posting(() => bench.at('clock-back-1').click())
  await expect(wall.at('clock')).toHaveText('8:03')
})

test('a clock that was started late is put right while it runs', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.startClock()
  await bench.at('clock').click()
  await bench.at('clock-field').fill('started 30 s late')
  await expect(bench.at('clock-sentence')).toContainText('runs on')
  await bench.posting(() => bench.page.keyboard.press('Enter'))
  await expect(wall.at('clock')).toHaveText(/^9:2\d$/)
  await expect(bench.at('clock')).toHaveAttribute('data-running', 'true')
})

test('the board is official: its time is typed at the whistle, and nothing is started', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await workAs(bench, 'follow')
  await expect(bench.at('clock-control')).toHaveCount(0)
  await bench.posting(async () => {
    await bench.page.keyboard.press('F2')
    await bench.page.keyboard.type('900')
    await bench.page.keyboard.press('Enter')
  })
  await expect(wall.at('clock')).toHaveText('9:00')
  await bench.typeCall('h 17 trip')
  await bench.posting(async () => {
    await bench.at('board-field').click()
    for (const digit of '830') await bench.at(`pad-${digit}`).click()
    await bench.at('board-read').click()
  })
  await expect(wall.bars('home')).toHaveText([/17\s*1:00/])

  // A time that is past is looked at again, and taken all the same.
  const before = await bench.seq()
  await bench.at('board-field').fill('845')
  await expect(bench.at('board-sentence')).toContainText('Look again')
  await bench.page.keyboard.press('Enter')
  expect(await bench.seq()).toBe(before)
  await bench.posting(() => bench.page.keyboard.press('Enter'))
  await expect(wall.at('clock')).toHaveText('8:45')
})

test('ours runs beside the board, and is matched with one entry', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await bench.setClock('9:00')
  await workAs(bench, 'beside')
  await bench.typeCall('v 5 hook')
  await bench.posting(async () => {
    await bench.at('board-match').click()
    await bench.at('board-field').fill('857')
    await bench.page.keyboard.press('Enter')
  })
  await expect(bench.at('manner')).toContainText('3 s behind')
  await expect(wall.at('clock')).toHaveText('8:57')
  await expect(wall.bars('visitors')).toHaveText([/5\s*1:30/])
})

test('running time: whistles leave the clock alone, and an entry counts from the first touch', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await bench.setClock('9:00')
  await bench.at('more-stages').click()
  await bench.posting(() => bench.at('running-time').click())
  await bench.startClock()
  await expect(bench.at('clock-control')).toBeDisabled()
  await bench.beginCall('goal', 'home')
  await bench.page.waitForTimeout(2500)
  await expect(bench.at('began')).toContainText(/Counted at (9:00|8:59)/)
  await bench.tapPost()
  await expect(bench.line(/Goal/).locator('.time')).toContainText(/9:00|8:59/)
  await expect(wall.at('clock')).not.toHaveText(/9:00|8:59/)
  await bench.at('more-stages').click()
  await bench.posting(() => bench.at('running-stop').click())
  await expect(bench.at('clock')).toHaveAttribute('data-running', 'false')
})

test('each reason to hold has a key', async ({ bench }) => {
  await bench.begin('1st period')
  await workAs(bench, 'lead', ['work-box'])
  await bench.at('command').pressSequentially('h 17 trip;')
  await bench.typeCall('v 5 hook')
  await expect(bench.at('hold-more')).toContainText('1')
  await bench.posting(() => bench.page.keyboard.press('Alt+1'))
  await expect(bench.at('hold')).toHaveCount(1)
  await expect(bench.at('hold')).toContainText('5')
  await bench.posting(() => bench.page.keyboard.press('Alt+1'))
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
})

test('a delay has its own clock, and one tap ends it', async ({ bench }) => {
  await bench.begin('1st period')
  await bench.at('kind-delay').click()
  await bench.at('delay-injury').click()
  await bench.tapPost()
  await expect(bench.at('delay')).toContainText('injury: 0:0')
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'hold')
  await bench.posting(() => bench.at('settle').click())
  await expect(bench.at('delay')).toHaveCount(0)
  await expect(bench.at('ready')).toHaveAttribute('data-ready', 'ready')
})

test('an empty net marks the goal into it', async ({ bench }) => {
  await bench.begin('1st period')
  await bench.at('kind-goalkeeper').click()
  await bench.page.locator('section[data-side=visitors] [data-bench=net-empty]').click()
  await bench.tapPost()
  await bench.beginCall('goal', 'home')
  await expect(bench.at('empty-net')).toHaveAttribute('aria-pressed', 'true')
})

test('what was done last is undone by name, and done again', async ({ bench, wall }) => {
  await bench.begin('1st period')
  await bench.setClock('7:00')
  await bench.typeCall('g h 12 -')
  await expect(bench.at('undo')).toContainText('Kelp Bay 12')
  await bench.at('undo').click()
  await bench.tapPost()
  await expect(wall.at('score-home')).toHaveText('0')
  await expect(bench.at('redo')).toContainText('Kelp Bay 12')
  await bench.at('redo').click()
  await bench.tapPost()
  await expect(wall.at('score-home')).toHaveText('1')
  await expect(bench.at('redo')).toHaveCount(0)

  // By keyboard: the goal, then the clock.
  for (const clock of ['7:00', '12:00']) {
    await bench.page.keyboard.press('Control+z')
    await bench.considered()
    await bench.posting(() => bench.page.keyboard.press('Enter'))
    await expect(wall.at('clock')).toHaveText(clock)
  }
  await expect(wall.at('score-home')).toHaveText('0')
})
