import { expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { gameBesideABoard, wholeGame } from '../harness/touch-games.ts'

// Whole games by touch alone, on a phone: the program's own clock to the sealed report, and beside a
// rink's own board.

test.use({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true })

test('a whole game by touch alone, to the sealed report', async ({ bench, wall }) => wholeGame(bench, wall))

test('a phone beside the rink\'s own board, whose clock is official', async ({ bench }) => gameBesideABoard(bench))

test('Post acts once when a finger leaves it, and not for one that slides off, stays long or is one of two', async ({ bench }) => {
  const { page } = bench
  const finger = await page.context().newCDPSession(page)
  const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', ...touchPoints: { x: number; y: number; id?: number }[]) => finger.send('Input.dispatchTouchEvent', { type, touchPoints })
  const post = async () => {
    await page.waitForTimeout(300) // what is built has come to rest
    const box = (await bench.at('post').boundingBox())!
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 }
  }
  const busy = bench.page.locator('[data-bench=call][data-busy=true]')
  await page.evaluate(() => {
    const clicks: boolean[] = []
    Object.assign(window, { clicks })
    window.addEventListener('click', (event) => clicks.push(event.isTrusted), { capture: true })
  })
  const clicks = () => page.evaluate(() => (window as unknown as { clicks: boolean[] }).clicks.splice(0))
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.beginCall('penalty', 'visitors')
  await bench.tapNumber('14')
  await page.locator('[data-bench=call-choice][data-call=tripping]').click()
  await bench.considered()
  const before = await bench.seq()
  await clicks()
  const at = await post()

  await send('touchStart', at)
  for (const away of [20, 60, 120]) await send('touchMove', { x: at.x, y: at.y - away })
  await send('touchEnd')
  expect(await clicks(), 'slid off').toEqual([])

  const two = await post()
  await send('touchStart', { ...two, id: 0 })
  await send('touchStart', { ...two, id: 0 }, { x: two.x, y: two.y - 200, id: 1 })
  await send('touchEnd', { ...two, id: 0 })
  await send('touchEnd')
  expect(await clicks(), 'two fingers').toEqual([])
  expect(await bench.seq()).toBe(before)

  // Twice, as hands that are not sure: one entry, and one click, which the browser adds none to.
  const sure = await post()
  await Promise.all([send('touchStart', sure), send('touchEnd'), send('touchStart', sure), send('touchEnd')])
  await expect(busy).toHaveCount(0)
  await expect.poll(() => bench.seq()).toBe(before + 1)
  expect((await clicks())[0], 'clicked as the finger left').toBe(false)

  // The same once more is asked about, and the tap that asked does not answer.
  await bench.beginCall('penalty', 'visitors')
  await bench.tapNumber('14')
  await page.locator('[data-bench=call-choice][data-call=tripping]').click()
  await bench.considered()
  await post()
  await clicks()
  await bench.at('post').tap()
  await expect(bench.at('repeat')).toBeVisible()
  expect(await clicks()).toEqual([false])
  await page.waitForTimeout(300)
  expect(await bench.seq()).toBe(before + 1)
  await page.keyboard.press('Escape')
  await expect(bench.at('repeat')).toHaveCount(0)

  // What assistive technology presses is a click without a finger.
  const other = await bench.seq()
  await bench.at('clear').click()
  await expect(busy).toHaveCount(0)
  await bench.beginCall('goal', 'visitors')
  await bench.tapNumber('8')
  await bench.at('unassisted').click()
  await bench.considered()
  await bench.at('post').evaluate((button: HTMLButtonElement) => button.click())
  await expect.poll(() => bench.seq()).toBe(other + 1)
  await expect(busy).toHaveCount(0)

  // Whether a long press clicks, the browser says.
  await bench.setClock('8:00')
  await bench.beginCall('goal', 'visitors')
  await bench.tapNumber('23')
  await bench.at('unassisted').click()
  await bench.considered()
  const held = await post()
  await clicks()
  await send('touchStart', held)
  await page.waitForTimeout(900)
  await send('touchEnd')
  expect(await clicks(), 'a long press').not.toContain(false)
})
