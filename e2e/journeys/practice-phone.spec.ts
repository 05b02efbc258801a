import { type Page, expect } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { hidden, sideways } from '../harness/fit.ts'
import { Learner } from '../harness/learner.ts'
import { PracticeSite } from '../harness/practice.ts'

// A practice on a phone: one seat, room for what is entered, and nothing that is asked under a bar.

const sizes = [{ width: 390, height: 844 }, { width: 360, height: 640 }]

/** Says which of these, of those that are on the page, are not wholly in view, or lie under something. */
function covered(page: Page, selector: string): Promise<string[]> {
  return page.evaluate((wanted) => {
    const shown = [...document.querySelectorAll<HTMLElement>(wanted)].filter((one) => one.getClientRects().length > 0)
    if (shown.length === 0) return [`nothing is ${wanted}`]
    return shown.flatMap((one) => {
      const { left, right, top, bottom } = one.getBoundingClientRect()
      const edge = 3 // pixels: corners are round
      const faults: string[] = []
      for (const [x, y] of [[left + edge, top + edge], [right - edge, top + edge], [left + edge, bottom - edge], [right - edge, bottom - edge], [(left + right) / 2, (top + bottom) / 2]] as const) {
        const over = document.elementFromPoint(x, y)
        if (!over) faults.push(`${one.textContent?.trim()}: beyond the window at ${Math.round(x)},${Math.round(y)} of ${innerWidth}x${innerHeight}`)
        else if (!one.contains(over) && !over.contains(one)) faults.push(`${one.textContent?.trim()}: under ${over.tagName.toLowerCase()}.${over.className} at ${Math.round(x)},${Math.round(y)}`)
      }
      return faults
    })
  }, selector)
}

for (const viewport of sizes) {
  const size = `${viewport.width}x${viewport.height}`

  test(`at ${size} somebody new begins with one seat, and whoever chose another one stays with it`, async ({ browser, program }) => {
    const context = await browser.newContext({ viewport, hasTouch: true, isMobile: true, locale: 'en-GB' })
    const page = await context.newPage()
    const site = new PracticeSite(page, program.origin)
    await site.open()
    await expect(page.locator('[data-progress=seat][data-seat=clock]')).toHaveAttribute('aria-checked', 'true')
    await site.choose('solo', 'fast')
    await page.reload()
    await expect(page.locator('[data-progress=seat][data-seat=solo]')).toHaveAttribute('aria-checked', 'true')
    await context.close()
  })

  for (const seat of ['solo', 'book']) {
    test(`at ${size} nothing that is asked for a goal lies under a bar, of the ${seat}`, async ({ browser, program }, info) => {
      const context = await browser.newContext({ viewport, hasTouch: true, isMobile: true, locale: 'en-GB' })
      const page = await context.newPage()
      const learner = new Learner(page, 'drill-score', true)
      await learner.open(`${program.origin}/practice/`, 'drill-score', seat)
      const strip = () => page.locator('aside[aria-label]').first().evaluate((one) => one.getBoundingClientRect().height)
      const open = await strip()
      await learner.play(async ({ waits }) => waits !== 'stop' && (await page.locator('[data-rink=heard]').innerText()).includes('Goal, '))
      // Whoever plays has no need to scroll for a bar that stays; the hand of the test does so at times.
      await page.evaluate(() => scrollTo(0, 0))
      const before = await strip()
      const shot = async (name: string) => void (await page.screenshot({ path: info.outputPath(`${name}.png`) }))
      // In the page, so that nothing is scrolled but by the page itself.
      const press = async (selector: string) => {
        await page.locator(selector).filter({ visible: true }).first().evaluate((one: HTMLElement) => one.click())
        await learner.act(() => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(undefined))))))
      }
      await shot('asked')

      const targets = '[data-bench=four][data-kind=goal], [data-bench=kind-goal]'
      expect(await covered(page, targets), 'what begins it').toEqual([])
      await press(targets)
      await shot('begun')
      if ((await page.locator('[data-bench=number]').count()) === 0) {
        expect(await covered(page, '[data-bench=side-home], [data-bench=side-visitors]'), 'the sides').toEqual([])
        await press('[data-bench=side-home]')
        await shot('side')
      }
      expect(await strip(), 'the strip does not grow').toBeLessThanOrEqual(before)
      if (viewport.height > 720) expect(await strip(), 'and is smaller than while nothing is entered').toBeLessThan(open - 30)
      expect(await strip(), 'and leaves two thirds of the window').toBeLessThan(viewport.height / 3)
      const clear = await covered(page, '[data-bench=number]')
      const numbers = await page.locator('[data-bench=number]').filter({ visible: true }).count()
      expect(numbers - new Set(clear.map((one) => one.split(':')[0])).size, `numbers in view at once: ${clear.join('; ')}`).toBeGreaterThanOrEqual(8)
      expect(await hidden(page, '[data-bench=number], [data-bench=post]'), 'all of them can be reached').toEqual([])
      await press('[data-bench=number][data-number="9"]')
      await press('[data-bench=unassisted]')
      await shot('whole')
      expect(await covered(page, '[data-bench=post]'), 'what posts it').toEqual([])
      expect(await sideways(page)).toBe(0)
      await context.close()
    })
  }
}
