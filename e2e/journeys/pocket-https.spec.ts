import { expect, type Page } from '@playwright/test'
import { Bench } from '../harness/bench.ts'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'
import { Killable } from '../harness/killed.ts'
import { newGame } from '../harness/pocket.ts'

// A hub with a certificate of its own, as the internet has it: browsers speak HTTP/2 with it,
// and take neither a worker that keeps the site nor an icon from anything less.

/** By which protocols what the page has came; what came out of the browser itself has none. */
function protocols(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const all = [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')] as PerformanceResourceTiming[]
    return [...new Set(all.map((one) => one.nextHopProtocol))].filter((name) => name !== '')
  })
}

test('a hub over https: first visit, icon, a game without a network and over a kill, its copy at the hub, and a family that follows', async ({ launchOptions }) => {
  test.setTimeout(240_000)
  const { hub, mark } = await Hub.secure()
  const args = [...(launchOptions.args ?? []), `--ignore-certificate-errors-spki-list=${mark}`]
  const options = { ...launchOptions, args, viewport: { width: 390, height: 844 } }
  const phone = await Killable.make(options)
  const other = await Killable.make(options)
  try {
    const office = await other.start()
    await office.goto(hub.first)
    await office.getByLabel('Your name').fill('Robin Ashdown')
    await office.getByRole('button', { name: 'Sign in' }).click()
    await office.getByLabel('What the bench is called').fill('The phone at Saltworks Arena')
    await office.getByRole('button', { name: 'Pair a bench' }).click()
    const link = (await office.locator('[data-hub=link]').textContent()) ?? ''
    expect(link).toMatch(/^https:\/\//)
    await office.goto(`${hub.origin}/admin`)
    await office.getByLabel('The team').fill('Kelp Bay')
    await office.getByRole('button', { name: 'Make a link' }).click()
    const follow = (await office.locator('[data-hub=link]').textContent()) ?? ''

    let page = await phone.start()
    const troubles: string[] = []
    const watch = () => page.on('pageerror', (error) => troubles.push(error.message))
    watch()
    await page.goto(link)
    await page.locator('[data-hub=pair-here]').click()
    await expect(page.locator('[data-hub=state]')).toHaveAttribute('data-state', 'up_to_date', { timeout: 120_000 })
    await expect(page.locator('[data-pocket=page]')).toHaveAttribute('data-offline', 'true', { timeout: 60_000 })
    expect(await protocols(page)).toEqual(['h2'])
    const tools = await page.context().newCDPSession(page)
    const { installabilityErrors } = await tools.send('Page.getInstallabilityErrors')
    expect(installabilityErrors).toEqual([])

    // A family follows over HTTP/2 what the phone's game says.
    let bench = await newGame(page)
    await office.goto(follow)
    await expect(office.locator('[data-follow=page]')).toBeVisible()
    await bench.begin('1st period')
    await bench.startClock()
    await expect(office.locator('[data-follow=clock]')).toHaveAttribute('data-running', 'true')
    expect(await protocols(office)).toEqual(['h2'])

    // The hub is away: the game goes on, also in a page that is opened anew after a kill.
    await hub.kill()
    await bench.stopClock()
    await bench.tapGoal('home', '9', [])
    const address = page.url()
    await phone.kill()
    page = await phone.start()
    watch()
    bench = new Bench(page)
    await page.goto(address)
    await expect(bench.line('Goal')).toContainText('9', { timeout: 60_000 })
    await bench.begin('1st intermission')
    await expect(page.locator('[data-pocket=break-copies] [data-pocket=hub]')).toContainText('cannot be reached')
    const again = await hub.again()
    try {
      await expect(page.locator('[data-pocket=break-copies] [data-pocket=hub]')).toHaveAttribute('data-state', 'up_to_date', { timeout: 120_000 })
      await expect(office.locator('[data-follow=page]')).toHaveAttribute('data-seq', String(await bench.seq()), { timeout: 120_000 })
    } finally {
      await again.close()
    }
    expect(troubles).toEqual([])
  } finally {
    await phone.end()
    await other.end()
    await hub.close()
  }
})
