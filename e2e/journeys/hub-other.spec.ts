import { expect, type Page } from '@playwright/test'
import { beyond, violations } from '../harness/access.ts'
import { test } from '../harness/fixtures.ts'
import { Hub } from '../harness/hub.ts'
import { Service } from '../harness/service.ts'

async function looks(page: Page, name: string) {
  for (const [size, width, height] of [['phone', 390, 844], ['laptop', 1366, 768]] as const) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/hub-other-${name}-${size}.png`, fullPage: true })
    expect(await violations(page), `${name} on a ${size}`).toEqual([])
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
}

test('a volunteer accepts an invitation with the club login, and comes in by it on another phone', async ({ page, browser }) => {
  const service = await Service.open('alex-7')
  const hub = await Hub.withService(service.file)
  try {
    await page.goto(hub.first)
    await page.getByLabel('Your name').fill('Robin Ashdown')
    await page.getByRole('button', { name: 'Sign in' }).click()
    await page.getByRole('link', { name: 'People' }).click()
    await page.getByLabel('As what').selectOption({ label: 'Volunteer: the own duties' })
    await page.getByRole('button', { name: 'Make an invitation' }).click()
    const invitation = (await page.locator('[data-hub=link]').textContent()) ?? ''

    const phone = async () => (await browser.newContext({ viewport: { width: 390, height: 844 } })).newPage()
    const helper = await phone()
    await helper.goto(invitation)
    await helper.getByLabel('Your name').fill('Alex Marlowe')
    await looks(helper, 'invited')
    await helper.getByRole('button', { name: 'Accept, and sign in with Club login from now on' }).click()
    await expect(helper.locator('[data-hub=identity]')).toContainText('Linked with http://127.0.0.1')
    await looks(helper, 'me')

    const other = await phone()
    await other.goto(`${hub.origin}/sign-in`)
    await looks(other, 'sign')
    await other.getByRole('button', { name: 'Sign in with Club login' }).click()
    await expect(other.locator('[data-hub=admin]')).toContainText('Alex Marlowe: Volunteer')

    await other.getByRole('link', { name: 'About me' }).click()
    await other.getByRole('button', { name: 'End the link' }).click()
    await expect(other.getByRole('button', { name: 'Link me with Club login' })).toBeVisible()
    const late = await phone()
    await late.goto(`${hub.origin}/sign-in`)
    await late.getByRole('button', { name: 'Sign in with Club login' }).click()
    await expect(late.locator('[data-hub=message]')).toContainText('nobody here is linked with that account')
    await looks(late, 'unknown')
  } finally {
    await hub.close()
    await service.close()
  }
})
