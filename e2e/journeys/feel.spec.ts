import { expect, type Page } from '@playwright/test'
import type { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { Program } from '../harness/program.ts'

// A press is felt and seen when the finger comes down, before the bench has said anything.

test('a press is felt and seen while the finger is down, with the bench out of reach', async ({ browser }) => {
  const program = await Program.demo('power-play')
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' })
  try {
    const page = await context.newPage()
    await page.addInitScript(() => {
      const felt: unknown[] = []
      Object.assign(window, { felt })
      Object.defineProperty(navigator, 'vibrate', { value: (pattern: unknown) => felt.push(pattern) })
    })
    const felt = () => page.evaluate(() => (window as unknown as { felt: number[] }).felt.length)
    await page.goto(`${program.origin}/seat?seat=shots`)
    await page.locator('[data-seat=page]').waitFor()
    await page.route('**/api/**', () => undefined) // asked, and never answered
    const dead = page.locator('button:disabled:visible').first()
    await dead.dispatchEvent('pointerdown', { pointerType: 'touch', bubbles: true })
    expect(await felt()).toBe(0)
    const control = page.locator('[data-seat=link]')
    await control.tap()
    expect(await felt()).toBe(1)
    await control.dispatchEvent('pointerdown', { pointerType: 'mouse', bubbles: true })
    expect(await felt()).toBe(1)
    // A mouse goes the way of a finger that stays down.
    const box = (await control.boundingBox())!
    const edge = () => control.evaluate((one) => getComputedStyle(one).boxShadow)
    expect(await edge()).toBe('none')
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    expect(await edge()).toContain('inset')
    await page.mouse.up()
    expect(await edge()).toBe('none')
  } finally {
    await context.close()
    await program.close()
  }
})

/** Notes how long what moves in the lanes takes, in milliseconds, as it begins. */
async function watchMoves(page: Page): Promise<void> {
  await page.evaluate(() => {
    const moves: { what: string; ms: number }[] = []
    Object.assign(window, { moves })
    const lanes = document.querySelector('[data-lanes]')!
    new MutationObserver(() => requestAnimationFrame(() => {
      for (const one of document.getAnimations()) {
        const { target } = one.effect as KeyframeEffect
        if (target && lanes.contains(target)) moves.push({ what: target.matches('[data-bench^=score]') ? 'score' : 'row', ms: Number(one.effect!.getComputedTiming().duration) })
      }
    })).observe(lanes, { childList: true, characterData: true, subtree: true })
  })
}
const moves = (page: Page) => page.evaluate(() => (window as unknown as { moves: { what: string; ms: number }[] }).moves)

/** A goal on a power play: a bar goes from its lane, and the score is another one. */
async function powerPlayGoal(bench: Bench): Promise<void> {
  await bench.begin('1st period')
  await bench.setClock('10:00')
  await bench.typeCall('v 14 trip')
  await bench.setClock('9:30')
  await expect(bench.page.locator('[data-wall=bar]')).toHaveCount(1)
  await watchMoves(bench.page)
  await bench.typeCall('g h 9 12')
  await expect(bench.page.locator('[data-wall=bar]')).toHaveCount(0)
  await expect(bench.at('score-home')).toHaveText('1')
}

test('a release and a goal are seen to happen, in less than 300 ms, and leave nothing behind', async ({ bench }) => {
  await powerPlayGoal(bench)
  await expect.poll(async () => [...new Set((await moves(bench.page)).map((one) => one.what))].sort()).toEqual(['row', 'score'])
  expect((await moves(bench.page)).filter((one) => one.ms <= 0 || one.ms >= 300)).toEqual([])
  await expect(bench.page.locator('[data-lanes] [inert]')).toHaveCount(0)
})

test('nothing moves for somebody who asked for that', async ({ bench }) => {
  await bench.page.emulateMedia({ reducedMotion: 'reduce' })
  await powerPlayGoal(bench)
  expect(await moves(bench.page)).toEqual([])
})
