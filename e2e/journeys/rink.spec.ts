import { expect, type Page } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { holdClock } from '../harness/practice.ts'

async function begin(page: Page, site: string, drill: string, seat: string): Promise<void> {
  await page.goto(`${site}/practice/#play/${drill}/${seat}/fast`)
  await page.locator('[data-practice=go]').click()
}

test('a player who is let out too early skates out, and the slip is told', async ({ page, program }) => {
  await begin(page, program.origin, 'drill-minor', 'box')
  const player = page.locator('[data-rink=box][data-side=visitors] [data-rink=sits][data-number="6"]')
  await expect(player).toBeVisible()
  const size = await player.boundingBox()
  expect(Math.min(size?.width ?? 0, size?.height ?? 0)).toBeGreaterThanOrEqual(48)
  await player.focus()
  await page.keyboard.press('Enter')
  await expect(player).toBeHidden()
  await page.locator('[data-seat=sitter][data-number="7"] [data-seat=in]').click() // the next one is seen in the box
  await expect(page.locator('[data-practice=slip][data-fault^=release]')).toBeVisible()
})

test('whoever works no box cannot open its doors', async ({ page, program }) => {
  await begin(page, program.origin, 'drill-minor', 'book')
  const player = page.locator('[data-rink=sits][data-number="6"]')
  await expect(player).toBeVisible()
  expect(await player.evaluate((element) => element.tagName)).toBe('B')
})

test("the rink's own board is read at the whistle, and its time is right", async ({ page, program }) => {
  await begin(page, program.origin, 'drill-follow-board', 'solo')
  const board = page.locator('[data-rink=board]')
  await expect(board).toContainText('Period 1')
  await expect(board.locator('b')).toHaveText('9:00')
  await expect(page.locator('[data-rink=rink]')).toHaveAttribute('data-standing', 'whistle')
  const time = await board.locator('b').innerText()
  expect(time).not.toBe('9:00')
  const bench = new Bench(page)
  await bench.at('board-field').fill(time)
  await bench.posting(() => page.keyboard.press('Enter'))
  await expect(board.locator('b')).toHaveText(time)
  await expect(bench.at('line').first()).toContainText(time)
  await expect(page.locator('[data-practice=told]')).toBeVisible()
  await expect(page.locator('[data-practice=slip][data-fault^=board]')).toHaveCount(0)
})

test('a number that was mumbled is said when it is asked for', async ({ page, program }) => {
  await page.clock.install()
  await begin(page, program.origin, 'drill-noise', 'book')
  await holdClock(page) // what is heard next would take its place
  const heard = page.locator('[data-rink=heard] [data-by=referee]').filter({ hasText: 'Tripping' })
  await expect(async () => {
    await page.clock.runFor(200)
    expect(await heard.allTextContents()).toEqual([expect.stringContaining('mmh-mmh')])
  }).toPass({ intervals: [20], timeout: 300_000 })
  await page.locator('[data-rink=again]').click()
  await expect(heard).toContainText('Lanternside, 10.')
})

test('the rink says what happens, and paints within its time', async ({ page, program }) => {
  await begin(page, program.origin, 'drill-start-stop', 'book')
  await expect(page.locator('[data-rink=rink]')).toHaveAttribute('data-standing', 'play')
  const costs = await page.evaluate(async () => {
    const list: number[] = []
    const real = window.requestAnimationFrame.bind(window)
    window.requestAnimationFrame = (paint) => real((at) => {
      const from = performance.now()
      paint(at)
      list.push(performance.now() - from)
    })
    await new Promise((done) => setTimeout(done, 2_000))
    window.requestAnimationFrame = real
    return list.sort((a, b) => a - b)
  })
  expect(costs.length).toBeGreaterThan(20)
  expect(costs[Math.floor(costs.length / 2)]).toBeLessThan(4) // milliseconds of the main thread
  await expect(page.locator('[data-rink=word]')).toHaveText('Whistle')
})
