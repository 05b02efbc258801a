import { type Page, expect, test } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { Program } from '../harness/program.ts'

// In a dark rink: every screen as a device shows it that is set to dark, with nothing that keeps people
// out and no target that a thumb misses.

const phone = { width: 390, height: 844 }
const laptop = { width: 1366, height: 768 }

const places = [
  ...['clock', 'box', 'book', 'shots', 'voice'].map((seat) => ({ path: `/seat?seat=${seat}`, ready: '[data-seat=page]', size: phone })),
  { path: '/seat', ready: '[data-seat=choose]', size: phone },
  { path: '/join', ready: '[data-join=page]', size: phone },
  { path: '/follow', ready: '[data-follow=page]', size: phone },
  { path: '/', ready: 'main', size: phone },
  { path: '/bench', ready: '[data-bench=page]', size: phone },
  { path: '/box', ready: '[data-seat=box-table]', size: laptop },
  { path: '/bench', ready: '[data-bench=page]', size: laptop },
]

/** The lightness of the ground, from 0 (black) to 255. */
const ground = (page: Page) => page.evaluate(() => Math.max(...(/\d+, \d+, \d+/.exec(getComputedStyle(document.documentElement).backgroundColor)?.[0] ?? '255').split(',').map(Number)))

test('every screen is dark where the device is, and nothing of it keeps people out', async ({ page }) => {
  const program = await Program.demo('power-play')
  try {
    await page.emulateMedia({ colorScheme: 'dark' })
    const faults: string[] = []
    for (const { path, ready, size } of places) {
      const say = (fault: string) => faults.push(`${path} at ${size.width}: ${fault}`)
      await page.setViewportSize(size)
      await page.goto(program.origin + path)
      await page.locator(ready).first().waitFor()
      if ((await ground(page)) > 60) say('is not dark')
      // What is scrolled under the edge of the bench is no small target.
      await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight))
      for (const fault of await violations(page)) say(fault)
      if ((await beyond(page)) > 0) say('goes beyond the edge')
      if (path.startsWith('/bench') && size === laptop) {
        await page.locator('[data-bench=four][data-kind=penalty][data-side=visitors]').click()
        await page.locator('[data-bench=number]').first().click()
        for (const fault of await violations(page)) say(`a call that is built, ${fault}`)
      }
      if (size !== phone || path.startsWith('/bench')) continue
      const small = await page.locator('button:visible, a:visible, input:visible, select:visible, summary:visible').evaluateAll((all) =>
        all.map((one) => ({ text: one.textContent?.trim() ?? '', box: one.getBoundingClientRect() }))
          .filter(({ box }) => Math.min(box.width, box.height) < 44).map(({ text }) => text))
      for (const text of small) say(`“${text}” is too small for a thumb`)
    }
    expect(faults).toEqual([])
  } finally {
    await program.close()
  }
})

test('what is chosen for a device stands before what the device is set to, also after a reload', async ({ page }) => {
  const program = await Program.demo('power-play')
  try {
    await page.emulateMedia({ colorScheme: 'dark' })
    await page.setViewportSize(phone)
    await page.goto(`${program.origin}/seat?seat=clock`)
    await page.locator('[data-seat=link]').click()
    await page.locator('[data-scheme=light]').click()
    await expect.poll(() => ground(page)).toBeGreaterThan(200)
    await page.reload()
    await page.locator('[data-seat=page]').waitFor()
    await expect.poll(() => ground(page)).toBeGreaterThan(200)
    await page.locator('[data-seat=link]').click()
    await page.locator('[data-scheme=device]').click()
    await expect.poll(() => ground(page)).toBeLessThan(60)
    await page.emulateMedia({ colorScheme: 'light' })
    await expect.poll(() => ground(page)).toBeGreaterThan(200)
  } finally {
    await program.close()
  }
})
