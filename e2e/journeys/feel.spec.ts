import { expect, test } from '@playwright/test'
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
