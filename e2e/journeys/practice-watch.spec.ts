import { expect } from '@playwright/test'
import { violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'

// A skill begins with a play-through that the program does on the real screen.
for (const { name, viewport } of [
  { name: 'a phone', viewport: { width: 390, height: 844 } },
  { name: 'a laptop', viewport: { width: 1366, height: 768 } },
]) {
  test(`on ${name} a drill is watched to its end with no press, each thing is said with why, then it is tried`, async ({ browser, program }) => {
    const page = await (await browser.newContext({ viewport, locale: 'en-GB' })).newPage()
    const at = (hook: string) => page.locator(`[data-practice="${hook}"]`)
    await page.clock.install()
    await page.goto(`${program.origin}/practice/#play/drill-doors/solo/step`)
    // It begins by itself: somebody who opens a drill for the first time has nothing to press.
    await expect(at('watching')).toBeVisible()
    expect(await violations(page)).toEqual([])
    const said = new Set<string>()
    await expect(async () => {
      await page.clock.runFor(1000)
      const kind = await at('watching').getAttribute('data-kind', { timeout: 500 }).catch(() => null)
      if (kind) said.add(kind)
      await expect(at('watched')).toBeVisible({ timeout: 100 })
    }).toPass({ timeout: 600_000, intervals: [1] })
    expect([...said]).toEqual(expect.arrayContaining(['clock_started', 'clock_stopped', 'penalty', 'seated', 'goal']))
    await at('try').click()
    // Once watched it is not shown again by itself, also after a reload; it can be.
    await expect(at('go')).toBeVisible()
    await page.reload()
    await expect(at('watch')).toBeVisible()
    await expect(at('watching')).toHaveCount(0)
    await at('go').click()
    await expect(async () => {
      await page.clock.runFor(1000)
      await expect(at('hint')).toHaveText('All done here: Next', { timeout: 100 })
    }).toPass({ timeout: 60_000, intervals: [1] })
  })
}

test('what is passed over is not shown again, and at the other paces nothing is shown first', async ({ page, program }) => {
  const at = (hook: string) => page.locator(`[data-practice="${hook}"]`)
  await page.goto(`${program.origin}/practice/#play/drill-score/solo/fast`)
  await expect(at('go')).toBeVisible()
  await page.goto(`${program.origin}/practice/#play/drill-score/solo/step`)
  await at('watch-skip').click()
  await expect(at('go')).toBeVisible()
  await page.reload()
  await expect(at('go')).toBeVisible()
  await expect(at('watching')).toHaveCount(0)
  // Another drill is another skill.
  await page.goto(`${program.origin}/practice/#play/drill-minor/solo/step`)
  await expect(at('watching')).toBeVisible()
})
