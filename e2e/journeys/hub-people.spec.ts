import { expect, type Page } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'

async function looks(page: Page, name: string) {
  for (const [size, width, height] of [['phone', 390, 844], ['laptop', 1366, 768]] as const) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/hub-people-${name}-${size}.png`, fullPage: true })
    expect(await violations(page), `${name} on a ${size}`).toEqual([])
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
}

const linkOn = async (page: Page) => (await page.locator('[data-hub=link]').textContent()) ?? ''

/** A device that makes passkeys, as Chromium has one for tests (Web Authentication Level 3, 11). */
async function withAuthenticator(page: Page) {
  const devtools = await page.context().newCDPSession(page)
  await devtools.send('WebAuthn.enable')
  const { authenticatorId } = await devtools.send('WebAuthn.addVirtualAuthenticator', {
    options: { protocol: 'ctap2', transport: 'internal', hasResidentKey: true, hasUserVerification: true, isUserVerified: true, automaticPresenceSimulation: true },
  })
  return { verified: (isUserVerified: boolean) => devtools.send('WebAuthn.setUserVerified', { authenticatorId, isUserVerified }) }
}

test('the first admin adds a passkey and comes in by it, invites a volunteer, hands them a link and ends their role', async ({ page, browser }) => {
  const hub = await Hub.named()
  try {
    const device = await withAuthenticator(page)
    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await expect(page.locator('[data-hub=me]')).toContainText('asked to have two passkeys')
    await looks(page, 'first-me')
    await page.getByLabel('What this device is called').fill('Phone')
    await page.getByRole('button', { name: 'Add a passkey' }).click()
    await expect(page.locator('[data-hub=passkey]')).toContainText('Phone')
    // The same device has one of here already, and says so.
    await page.getByLabel('What this device is called').fill('Phone')
    await page.getByRole('button', { name: 'Add a passkey' }).click()
    await expect(page.getByRole('alert')).toContainText('No passkey came')
    await looks(page, 'me')

    // Out, and in by the passkey; not without the code or finger of the device.
    await page.getByRole('link', { name: 'Back' }).click()
    await page.getByRole('button', { name: 'Sign out' }).click()
    await page.goto(`${hub.origin}/admin`)
    await expect(page.locator('[data-hub=sign]')).toBeVisible()
    await device.verified(false)
    await page.getByRole('button', { name: 'Sign in with a passkey' }).click()
    await expect(page.getByRole('alert')).toContainText('No passkey came', { timeout: 90_000 })
    await looks(page, 'sign')
    await device.verified(true)
    await page.getByRole('button', { name: 'Sign in with a passkey' }).click()
    await expect(page.locator('[data-hub=admin]')).toContainText('Robin Ashdown: Admin, Coordinator')

    await page.getByRole('link', { name: 'People' }).click()
    await page.getByLabel('As what').selectOption({ label: 'Volunteer: the own duties' })
    await page.getByRole('button', { name: 'Make an invitation' }).click()
    const invitation = await linkOn(page)
    await looks(page, 'invitation')
    const helper = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await helper.goto(invitation)
    await expect(helper.locator('[data-hub=invited]')).toContainText('Robin Ashdown invites you as: Volunteer')
    await looks(helper, 'invited')
    await helper.getByLabel('Your name').fill('Alex Marlowe')
    await helper.getByRole('button', { name: 'Accept' }).click()
    await expect(helper.locator('[data-hub=admin]')).toContainText('Alex Marlowe: Volunteer')
    await expect(helper.locator('[data-hub=admin]')).not.toContainText('Pair a bench')
    await looks(helper, 'volunteer')
    await helper.goto(invitation)
    await expect(helper.locator('[data-hub=message]')).toContainText('was used already')

    // On another phone, by a link that the admin hands over.
    await page.getByRole('link', { name: 'Back' }).click()
    const person = page.locator('[data-hub=person]', { hasText: 'Alex Marlowe' })
    await person.getByText('Name, address, where signed in').click()
    await looks(page, 'people')
    await person.getByRole('button', { name: 'Make a link' }).click()
    const handed = await linkOn(page)
    await looks(page, 'handed')
    const other = await (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    await other.goto(handed)
    await other.getByRole('button', { name: 'Sign in' }).click()
    await expect(other.locator('[data-hub=admin]')).toContainText('Alex Marlowe: Volunteer')

    // The role ends: both phones are out at once.
    await page.getByRole('link', { name: 'Back' }).click()
    await person.getByRole('button', { name: 'End this role' }).click()
    await expect(person).toContainText('Has no role any more')
    for (const phone of [helper, other]) {
      await phone.goto(`${hub.origin}/me`)
      await expect(phone.locator('[data-hub=sign]')).toBeVisible()
    }
    await looks(helper, 'out')

    // And they are deleted: the log keeps a number.
    await person.getByText('Name, address, where signed in').click()
    await person.getByRole('button', { name: 'Delete' }).click()
    await expect(page.locator('[data-hub=person]')).toHaveCount(1)
    await page.getByRole('link', { name: 'Back' }).click()
    await looks(page, 'admin')
    await page.getByRole('link', { name: 'The log' }).click()
    await expect(page.locator('[data-hub=lines]')).toContainText('somebody was deleted')
    await expect(page.locator('[data-hub=lines]')).not.toContainText('Alex')
    await looks(page, 'log')
    const [saved] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save the log' }).click()])
    expect(saved.suggestedFilename()).toBe('log.jsonl')
  } finally {
    await hub.close()
  }
})
