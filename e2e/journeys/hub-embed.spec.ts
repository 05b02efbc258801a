import { expect, type Page } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'
import { Program } from '../harness/program.ts'

const linkOn = async (page: Page) => (await page.locator('[data-hub=link]').textContent()) ?? ''

/** A club's page on the web: the one line of the hub's page, and a program of its own that reads the documented stream. */
async function club(page: Page, origin: string, follow: string): Promise<void> {
  const stream = new URL(follow)
  const games = `${stream.origin}/v1${stream.pathname}`
  // The hub of a test is on this computer, which browsers let no page of the web ask unless somebody allows it.
  await page.context().grantPermissions(['local-network-access'], { origin })
  await page.route(`${origin}/**`, (route) => route.fulfill({
    contentType: 'text/html',
    body: `<!doctype html><title>Our club</title><p id="list"></p><p id="state"></p><iframe src="${follow}" width="100%" height="700"></iframe>
<script type="module">
  const say = (id, text) => { document.getElementById(id).textContent = text }
  try {
    const { team, games: [game] } = await (await fetch('${games}')).json()
    say('list', team + ': ' + game.home + ' - ' + game.visitors)
    const stream = new EventSource('${games}/games/' + game.id + '/stream')
    stream.addEventListener('state', (e) => say('state', 'entry ' + JSON.parse(e.data).state.seq))
    stream.onerror = () => say('state', 'refused')
  } catch { say('list', 'refused') }
</script>`,
  }))
  await page.goto(`${origin}/games`)
}

test('a page of a club that is listed shows the game in a frame and by the stream; one that is not does neither', async ({ page, browser }) => {
  const hub = await Hub.empty()
  let bench: Program | undefined
  try {
    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByLabel('What the bench is called').fill('Saltworks Arena')
    await page.getByRole('button', { name: 'Pair a bench' }).click()
    bench = await Program.demo('power-play', await linkOn(page))
    await page.getByRole('link', { name: 'Back' }).click()
    await page.getByLabel('The team').fill('Kelp Bay')
    await page.getByRole('button', { name: 'Make a link' }).click()
    const follow = await linkOn(page)
    await page.getByRole('link', { name: 'Back' }).click()
    await page.locator('input[name=origin]').fill('https://club.example/our/games')
    await page.getByRole('button', { name: 'Let it show games' }).click()
    await expect(page.locator('[data-hub=origin]')).toContainText('https://club.example')
    await expect(async () => {
      await page.reload()
      await expect(page.locator('[data-hub=game]')).toHaveCount(1, { timeout: 1000 })
    }).toPass()

    for (const [size, width, height] of [['phone', 390, 844], ['laptop', 1366, 768]] as const) {
      const guest = await (await browser.newContext({ viewport: { width, height } })).newPage()
      await club(guest, 'https://club.example', follow)
      await expect(guest.locator('#list')).toHaveText('Kelp Bay: Kelp Bay - Lanternside')
      await expect(guest.locator('#state')).toContainText('entry ')
      await expect(guest.frameLocator('iframe').locator('[data-follow=page]')).toBeVisible()
      await guest.screenshot({ path: `test-results/hub-embed-${size}.png` })
    }
    const elsewhere = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await club(elsewhere, 'https://elsewhere.example', follow)
    await expect(elsewhere.locator('#list')).toHaveText('refused')
    await expect(elsewhere.frameLocator('iframe').locator('[data-follow=page]')).toHaveCount(0)
    await elsewhere.screenshot({ path: 'test-results/hub-embed-refused.png' })

    // Taken off the list, it is refused from then on.
    await page.locator('[data-hub=origin]').getByRole('button').click()
    const late = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await club(late, 'https://club.example', follow)
    await expect(late.locator('#list')).toHaveText('refused')
    await expect(late.frameLocator('iframe').locator('[data-follow=page]')).toHaveCount(0)
  } finally {
    await bench?.close()
    await hub.close()
  }
})
