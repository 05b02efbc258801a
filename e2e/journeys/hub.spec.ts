import { expect, type Page } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { beyond, violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'
import { Program } from '../harness/program.ts'

async function looks(page: Page, name: string) {
  for (const [size, width, height] of [['small', 360, 640], ['phone', 390, 844], ['laptop', 1366, 768], ['screen', 1920, 1080]] as const) {
    await page.setViewportSize({ width, height })
    for (const scheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme: scheme })
      await page.screenshot({ path: `test-results/hub-${name}-${size}-${scheme}.png`, fullPage: size === 'phone' })
      expect(await violations(page), `${name}, ${scheme}`).toEqual([])
    }
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
  await page.setViewportSize({ width: 390, height: 844 })
}

const linkOn = async (page: Page) => (await page.locator('[data-hub=link]').textContent()) ?? ''

test('a bench is paired with a hub, and a family follows its game, also after the hub was killed', async ({ page, browser }) => {
  let hub = await Hub.empty()
  let bench: Program | undefined
  let other: Program | undefined
  try {
    await page.goto(hub.first)
    await looks(page, 'first')
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await expect(page.locator('[data-hub=admin]')).toBeVisible()

    await page.getByLabel('What the bench is called').fill('Saltworks Arena')
    await page.getByRole('button', { name: 'Pair a bench' }).click()
    await expect(page.getByRole('heading', { name: 'Saltworks Arena can be paired now' })).toBeVisible()
    await looks(page, 'paired')
    const pair = await linkOn(page)
    bench = await Program.demo('power-play', pair)
    await page.getByRole('link', { name: 'Back' }).click()
    await page.getByLabel('The team').fill('Kelp Bay')
    await page.getByRole('button', { name: 'Make a link' }).click()
    const follow = await linkOn(page)

    const family = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await family.goto(follow)
    const game = family.locator('[data-follow=page]')
    await expect(game).toBeVisible()
    await expect(family.locator('[data-team=page]')).toContainText('Harbour League')
    await expect(family.locator('[data-follow=clock]')).toHaveAttribute('data-running', 'false')
    await expect(family.locator('body')).not.toContainText('Saltworks')

    const page2 = await page.context().newPage()
    const laptop = new Bench(page2)
    await laptop.open(bench.bench)
    const before = Number(await game.getAttribute('data-seq'))
    await laptop.startClock()
    await expect(family.locator('[data-follow=clock]')).toHaveAttribute('data-running', 'true')
    expect(Number(await game.getAttribute('data-seq'))).toBeGreaterThan(before)
    await looks(family, 'follow')

    // The hub's power is cut; the game goes on; the page says so, and has what it missed by itself.
    await hub.kill()
    await expect(family.locator('[data-follow=lost]')).toBeVisible()
    await laptop.stopClock()
    await expect.poll(async () => (await page2.request.get(`${bench!.origin}/api/copies`)).text()).toContain('hubcopy.away')
    hub = await hub.again()
    await expect(family.locator('[data-follow=clock]')).toHaveAttribute('data-running', 'false', { timeout: 90_000 })
    await expect(family.locator('[data-follow=lost]')).toHaveCount(0)
    await expect.poll(async () => (await page2.request.get(`${bench!.origin}/api/copies`)).text()).toContain('hubcopy.up_to_date')

    await page.goto(`${hub.origin}/admin`)
    await expect(page.locator('[data-hub=game]')).toContainText('Kelp Bay')
    await looks(page, 'admin')
    await page.goto(`${hub.origin}/status`)
    await looks(page, 'status')
    await page.goto(`${hub.origin}/`)
    await looks(page, 'home')

    // Another computer is paired on its list of games, by the same link, and its pairing ended there.
    other = await Program.empty()
    await page2.goto(other.origin)
    await page2.locator('[data-hub=link]').fill(pair)
    await page2.locator('[data-hub=pair]').click()
    await expect(page2.locator('[data-hub=done]')).toContainText('Harbour League')
    await expect(page2.locator('[data-hub=state]')).toHaveAttribute('data-state', 'up_to_date')
    await page2.locator('[data-start=hub]').screenshot({ path: 'test-results/hub-paired-bench.png' })
    await page2.locator('[data-hub=ask-end]').click()
    await page2.locator('[data-hub=end]').click()
    await expect(page2.locator('[data-hub=link]')).toBeVisible()

    // The link is made anew: the old one leads nowhere, and says what to do.
    await page.goto(`${hub.origin}/admin`)
    await page.getByRole('button', { name: 'Make it anew' }).click()
    const next = await linkOn(page)
    await family.goto(follow)
    await expect(family.locator('[data-team=trouble]')).toContainText('Ask your team for the new one')
    await looks(family, 'ended')
    await family.goto(next)
    await expect(game).toBeVisible()
  } finally {
    await bench?.close()
    await other?.close()
    await hub.close()
  }
})
