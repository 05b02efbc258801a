import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { post, SeatPage } from '../harness/seats.ts'

// Each seat at the width of a phone, with real posts. The bench page beside it shows what arrived.

test.use({ viewport: { width: 390, height: 844 }, hasTouch: true })

const minute = 60_000

test('the Box sees who sits, looks at the gate, and is told who may leave', async ({ bench, program, game, context }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('h 17 trip')
  const box = await SeatPage.open(await context.newPage(), program, game, 'box', 'home')
  const sitter = box.at('sitter')
  await expect(sitter).toHaveAttribute('data-standing', 'sits')
  await expect(sitter).toContainText('Out at 8:30')
  await expect(box.at('box-side')).toHaveCount(1) // the other side's box is somebody else's

  await box.posting(() => box.at('in').click())
  await expect(sitter).toHaveAttribute('data-seen', 'true')
  // A slip of the finger is taken back with one tap.
  await box.posting(() => box.at('undo').click())
  await expect(sitter).toHaveAttribute('data-seen', 'false')
  await box.posting(() => box.at('in').click())

  // Left too early: the time is noted for the book, and the referee is to be told.
  await box.posting(() => box.at('early').click())
  await expect(sitter).toHaveAttribute('data-standing', 'left')
  await expect(sitter).toContainText('Tell the referee')
  await bench.page.bringToFront()
  await expect(bench.line('Kelp Bay 17 left the box at 10:00, 1:30 before the end')).toBeVisible()
  await box.page.bringToFront()
  await box.posting(() => box.at('back').click())
  await expect(sitter).toHaveAttribute('data-standing', 'sits')

  // A power-play goal opens the gate.
  await bench.page.bringToFront()
  await bench.setClock('9:40')
  await bench.typeCall('g v 8')
  await box.page.bringToFront()
  await expect(sitter).toHaveAttribute('data-standing', 'go')
  await expect(sitter).toContainText('the goal ends it')
  await box.posting(() => box.at('out').click())
  await expect(sitter).toHaveCount(0)
})

test('both boxes stand large on a table, and say who has to be back after a break', async ({ bench, program, game, context }) => {
  await bench.begin('1st period')
  await bench.setClock('0:30')
  await bench.typeCall('v 22 high sticking')
  await post(program, game, 'clock_set', { elapsed_ms: 12 * minute })
  const table = await context.newPage()
  await table.setViewportSize({ width: 1366, height: 768 })
  await table.goto(`${program.origin}/box/${game}`)
  const visitors = table.locator('[data-seat=box-side][data-side=visitors]')
  await expect(visitors.locator('[data-seat=break]')).toContainText('The period is over')
  await bench.page.bringToFront()
  await bench.begin('1st intermission')
  await table.bringToFront()
  await expect(visitors.locator('[data-seat=break]')).toContainText('Not back yet: 22')
  await visitors.locator('[data-seat=in]').click()
  await expect(visitors.locator('[data-seat=break]')).toContainText('Everybody is back')
})

test('Shots counts with one thumb a side, takes back, and puts a period right', async ({ bench, program, game, context }) => {
  await bench.begin('1st period')
  const shots = await SeatPage.open(await context.newPage(), program, game, 'shots')
  for (const side of ['home', 'home', 'visitors']) await shots.posting(() => shots.at(`tap-${side}`).tap())
  await expect(shots.at('tap-home')).toHaveAttribute('data-count', '2')
  await shots.posting(() => shots.at('undo').click())
  await expect(shots.at('tap-visitors')).toHaveAttribute('data-count', '0')
  await expect(bench.at('shots-home')).toHaveText('2')

  await shots.at('keepers').click()
  await shots.posting(() => shots.page.locator('[data-seat=keeper-side][data-side=visitors] [data-seat=keeper]').first().click())
  await shots.at('taps').click()
  await shots.at('counts').click()
  await shots.at('tally-home').fill('9')
  await shots.at('tally-visitors').fill('4')
  await shots.posting(() => shots.at('tally-put').click())
  await expect(shots.at('total-home')).toHaveText('9')
  await expect(shots.at('total-visitors')).toHaveText('4')
  await shots.at('tally-home').fill('1')
  await shots.posting(() => shots.at('tally-put').click())
  await expect(shots.at('total-home')).toHaveText('1')
})

test('the bench counts shots with two keys, and its undo leaves them alone', async ({ bench }) => {
  await bench.page.setViewportSize({ width: 1366, height: 768 })
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('g h 12')
  await bench.posting(() => bench.page.keyboard.press(','))
  await bench.posting(() => bench.page.keyboard.press('.'))
  await expect(bench.at('shots-home')).toHaveText('1')
  await expect(bench.at('shots-visitors')).toHaveText('1')
  await expect(bench.at('undo')).toContainText('Goal')
  await bench.posting(() => bench.at('shots-undo').click())
  await expect(bench.at('shots-visitors')).toHaveText('0')
})

test('Voice has the next announcement first, and takes it back', async ({ bench, program, game, context }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('g h 12 8')
  await bench.typeCall('v 22 trip')
  const voice = await SeatPage.open(await context.newPage(), program, game, 'voice')
  await expect(voice.at('announcement')).toContainText('Goal for Kelp Bay, scored by number 12, Rae Holm')
  await voice.posting(() => voice.at('said').click())
  await expect(voice.at('announcement')).toContainText('Lanternside penalty, number 22, Tove Ash')
  await expect(voice.at('announcement')).toContainText('Read it twice')
  await voice.at('done').locator('summary').click()
  await voice.posting(() => voice.at('not-said').click())
  await expect(voice.at('announcement')).toContainText('Goal for Kelp Bay')
})

test('the Clock runs, is put right, and times a time-out', async ({ bench, program, game, context }) => {
  await bench.begin('1st period')
  const clock = await SeatPage.open(await context.newPage(), program, game, 'clock')
  await clock.posting(() => clock.at('clock-control').click())
  await expect(clock.at('clock')).toHaveAttribute('data-running', 'true')
  await clock.page.waitForTimeout(400)
  await clock.posting(() => clock.at('clock-control').click())
  await clock.posting(async () => {
    await clock.at('set').click()
    await clock.page.locator('[data-bench=clock-field]').fill('5:13')
    await clock.page.locator('[data-bench=clock-set]').click()
  })
  await expect(clock.at('clock')).toHaveText('5:13')
  await clock.at('more').click()
  await clock.posting(() => clock.at('time-out-home').click())
  await expect(clock.at('other-clock')).toContainText('Kelp Bay')
  await expect(clock.at('ready')).toHaveAttribute('data-ready', 'hold')
  await clock.posting(() => clock.at('settle').click())
  await expect(clock.at('ready')).toHaveAttribute('data-ready', 'ready')
  const horn = clock.at('horn')
  await horn.dispatchEvent('pointerdown', { button: 0, pointerId: 1 })
  await expect(clock.page.locator('[data-horn=sounding]')).toBeVisible()
  await horn.dispatchEvent('pointerup', { button: 0, pointerId: 1 })
  await expect(clock.page.locator('[data-horn=sounding]')).toHaveCount(0)
})

test('the Book enters in the order of the referee, fills in what is owed, and strikes', async ({ bench, program, game, context }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await post(program, game, 'bench_set', { clock: 'lead', on_ice: true })
  const book = await SeatPage.open(await context.newPage(), program, game, 'book')
  const { page } = book
  const at = (name: string) => page.locator(`[data-bench="${name}"]`)
  const number = (text: string) => page.locator(`[data-bench=number][data-number="${text}"]`)
  const posts = () => book.posting(async () => {
    await expect(at('sentence')).toHaveAttribute('data-asking', 'false')
    await at('post').click()
  })

  await at('kind-penalty').click()
  await at('side-visitors').click()
  await at('number-owed').click()
  await page.locator('[data-bench=call-choice][data-call=tripping]').click()
  await posts()
  await expect(book.at('tab-owed')).toContainText('1')

  await book.at('tab-owed').click()
  await book.at('fill-in').first().click()
  await number('22').click()
  await posts()
  await book.at('tab-owed').click()
  await expect(book.at('owed')).toHaveAttribute('data-count', '0')

  await post(program, game, 'clock_set', { elapsed_ms: 2.5 * minute })
  await book.at('tab-enter').click()
  await at('kind-goal').click()
  await at('side-home').click()
  for (const one of ['12', '9']) await number(one).click()
  await expect(at('sentence')).toContainText('Ends Lanternside 22')
  await posts()
  await expect(book.at('score')).toContainText('1')

  await book.at('tab-owed').click()
  await book.at('on-ice').locator('button').first().click()
  for (const one of ['7', '21']) await page.locator(`[data-seat=on-ice-home][data-number="${one}"]`).click()
  await book.posting(() => book.at('on-ice-post').click())
  const { state } = (await (await fetch(`${program.origin}/api/games/${game}`)).json()) as {
    state: { goals: { on_ice?: { home?: string[] } }[] }
  }
  expect(state.goals[0]?.on_ice?.home).toEqual(['12', '9', '7', '21'])

  await book.at('tab-enter').click()
  await book.at('missed').click()
  await book.at('missed-visitors').click()
  await page.locator('[data-seat=missed-number][data-number="8"]').click()
  await book.posting(() => book.at('missed-post').click())

  await book.at('tab-entries').click()
  await expect(book.at('line').first()).toContainText('Penalty shot, Lanternside 8, no goal')
  await book.at('line').filter({ hasText: 'Goal, Kelp Bay 12' }).locator('[data-seat=strike]').click()
  await posts()
  await expect(book.at('score')).not.toContainText('1')

  await book.at('tab-rosters').click()
  await page.locator('[data-seat=player][data-number="21"] button').first().click()
  await book.posting(() => page.locator('[data-seat=status][data-status=late]').click())
  await expect(page.locator('[data-seat=player][data-number="21"]')).toHaveAttribute('data-status', 'late')
  await book.at('confirm-by').fill('Bo Lind')
  await book.posting(() => book.at('confirm').click())
  await expect(book.at('rosters')).toContainText('Confirmed by Bo Lind.')
})

test('a shoot-out runs by shooter on the bench and ends when it is decided', async ({ bench, program, game }) => {
  await bench.page.setViewportSize({ width: 1366, height: 768 })
  for (let period = 1; period <= 3; period++) await post(program, game, 'stage_begun', { stage: { kind: 'period', number: period }, length_ms: 12 * minute })
  await post(program, game, 'clock_set', { elapsed_ms: 12 * minute })
  await post(program, game, 'stage_begun', { stage: { kind: 'shoot_out' }, length_ms: 0 })
  const at = (name: string) => bench.page.locator(`[data-shootout="${name}"]`)
  const shoot = async (number: string, result: 'goal' | 'miss') => {
    await bench.page.locator(`[data-shootout=number][data-number="${number}"]`).click()
    await bench.posting(() => at(result).click())
  }
  await at('first-visitors').click()
  await shoot('8', 'miss')
  await expect(at('page')).toHaveAttribute('data-turn', 'home')
  await shoot('12', 'goal')
  await shoot('22', 'goal')
  await bench.posting(() => at('undo').click())
  await shoot('22', 'miss')
  await shoot('9', 'goal')
  await expect(at('won')).toContainText('Kelp Bay wins')
  await expect(bench.at('score-home')).toHaveText('1')
})

test('no seat stands beyond the edge of a phone, and what is pressed in a hurry is large', async ({ bench, program, game, context }) => {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('h 17 trip')
  const page = await context.newPage()
  const main: Record<string, string[]> = {
    clock: ['clock-control', 'horn', 'set', 'more'], box: ['in'], shots: ['tap-home', 'tap-visitors', 'undo'], voice: ['said'],
    book: [],
  }
  for (const viewport of [{ width: 390, height: 844 }, { width: 360, height: 640 }]) {
    await page.setViewportSize(viewport)
    for (const [seat, hooks] of Object.entries(main)) {
      const opened = await SeatPage.open(page, program, game, seat)
      for (const hook of hooks) {
        await expect(opened.at(hook).first()).toBeVisible()
        const box = await opened.at(hook).first().boundingBox()
        expect(Math.min(box?.width ?? 0, box?.height ?? 0), `${hook} at ${viewport.width}`).toBeGreaterThanOrEqual(76)
      }
      if (seat === 'book') await expect(opened.page.locator('[data-bench=kind-goal]')).toBeVisible()
      const beyond = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
      expect(beyond, `${seat} at ${viewport.width} px`).toBeLessThanOrEqual(0)
    }
  }
})
