import { expect, type Page } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'
import { Mail } from '../harness/mail.ts'
import { Program } from '../harness/program.ts'

async function looks(page: Page, name: string) {
  for (const [size, width, height] of [['small', 360, 640], ['phone', 390, 844], ['laptop', 1366, 768]] as const) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/crew-hub-${name}-${size}.png` })
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
  for (const scheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: scheme })
    expect(await violations(page), `${name}, ${scheme}`).toEqual([])
  }
}

const at = (page: Page, name: string) => page.locator(`[data-desk="${name}"]`)
const mine = (page: Page, name: string) => page.locator(`[data-mine="${name}"]`)

/** The desk's file with rinks where it is noon now: nobody is written to at night, and the program has the computer's clock. */
function atNoon(whole: string): string {
  const hours = new Date().getUTCHours() - 12 // the signs of these zones are turned round
  const moved = whole.replace(/zone = \\"[^"]*\\"/, `zone = \\"Etc/GMT${hours < 0 ? '' : '+'}${hours}\\"`)
  expect(moved).not.toBe(whole)
  return moved
}

test('a desk moves to the hub, letters go by mail, and a volunteer answers by a link while nobody sits there', async ({ page, browser }) => {
  const old = await Program.desk('--demo')
  const mail = await Mail.open()
  const hub = await Hub.empty(mail.file)
  try {
    await page.goto(`${old.origin}/desk#balance`)
    const [saved] = await Promise.all([page.waitForEvent('download'), at(page, 'whole').click()])
    const { readFile } = await import('node:fs/promises')
    const whole = atNoon(await readFile(await saved.path(), 'utf8'))
    const people = await (await page.request.get(`${old.origin}/api/crew`)).json().then((it: { people: number }) => it.people)
    await old.close()

    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByRole('link', { name: "Open the crew's desk" }).click()
    await expect(at(page, 'take-over')).toBeVisible()
    await looks(page, 'empty')
    await at(page, 'whole-file').setInputFiles({ name: 'crew-desk.json', mimeType: 'application/json', buffer: Buffer.from('{}') })
    await expect(at(page, 'take-over').getByRole('alert')).toContainText('Nothing was changed')
    await at(page, 'whole-file').setInputFiles({ name: 'crew-desk.json', mimeType: 'application/json', buffer: Buffer.from(whole) })
    await expect(at(page, 'counts')).toContainText(`${people} people`)
    await expect(at(page, 'take-over')).toHaveCount(0)

    await at(page, 'to-messages').click()
    await expect(at(page, 'reach')).toContainText('from anywhere')
    await expect(at(page, 'moved')).toBeVisible()
    await looks(page, 'messages')
    const shown = await at(page, 'mail-all').textContent()
    const count = Number(/\d+/.exec(shown ?? '')?.[0])
    expect(count).toBeGreaterThan(0)
    await at(page, 'mail-all').click()
    await expect(page.locator('[data-desk=out][data-state=waiting], [data-desk=out][data-state=sending], [data-desk=out][data-state=sent]').first()).toBeVisible()
    await expect.poll(() => mail.letters.length, { timeout: 120_000 }).toBe(count)
    await expect(at(page, 'mail-waiting')).toHaveCount(0, { timeout: 30_000 })
    await at(page, 'by-itself').check()
    await expect(at(page, 'by-itself')).toBeChecked()
    await looks(page, 'sent')

    // Somebody opens the link of the letter on a phone, without an account; the desk's own computer is off.
    const links = mail.letters.flatMap((one) => /http:\S+\/crew\/[0-9a-f]+\/mine#\S+/.exec(one.text)?.[0] ?? [])
    const phone = await (await browser.newContext({ viewport: { width: 360, height: 640 } })).newPage()
    const duty = phone.locator('[data-mine=duty][data-status=waiting]').first()
    for (const link of links) { // others are reminded of what they said yes to
      await phone.goto('about:blank')
      await phone.goto(link)
      await expect(phone.locator('main h1')).toBeVisible()
      if (await duty.count() > 0) break
    }
    const [game, seat] = [await duty.getAttribute('data-game'), await duty.getAttribute('data-seat')]
    await duty.locator('[data-mine=yes]').click()
    await expect(phone.locator(`[data-mine=duty][data-game="${game}"][data-seat="${seat}"]`)).toHaveAttribute('data-status', 'yes')
    await looks(phone, 'mine')
    const feed = await mine(phone, 'calendar').getAttribute('href')
    expect(await (await phone.request.get(feed!)).text()).toContain('BEGIN:VEVENT')
    const seats = await page.request.get(`${page.url().replace(/desk.*/, '')}api/crew/seats/${game}/${seat}`)
    expect(await seats.text()).toContain('"status":"yes"')

    // They want no more letters; and the desk is not theirs to open.
    await phone.getByText('What is kept of you').click()
    await mine(phone, 'no-mail').click()
    await expect(mine(phone, 'mail')).toBeVisible()
    await phone.goto(page.url())
    await expect(phone.locator('[data-hub=message]')).toBeVisible()
    await looks(phone, 'stranger')

    // Practice opens at the seat that a link names, and the hub has the site.
    await phone.goto(`${hub.origin}/practice/#seat/box`)
    await expect(phone.locator('[data-progress=seat][data-seat=box]')).toHaveAttribute('aria-checked', 'true')

    // The season's own page, as far as it is planned here.
    await page.goto(page.url().replace(/desk.*/, 'season'))
    await expect(page.locator('[data-season=page]')).toHaveAttribute('data-page', 'schedule')
    await expect(page.locator('[data-season=to-hand_in]')).toHaveCount(0)
    await looks(page, 'season')
  } finally {
    await mail.close()
    await hub.close()
  }
})
