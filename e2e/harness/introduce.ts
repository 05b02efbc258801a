import { expect, type Locator, type Page } from '@playwright/test'

// A bench in a browser and a phone, introduced to each other by two codes.

/** The code that a page shows to the other. */
export function code(page: Page): Locator {
  return page.locator('[data-device=code]')
}

/** Gives a page the text of a code, as whoever has no camera does. */
export async function paste(to: Page, text: string): Promise<void> {
  const field = to.locator('[data-device=take]')
  // It opens by itself where there is no camera, which may be while somebody opens it.
  await expect(async () => {
    if (!(await field.isVisible())) await to.locator('details:has([data-device=take]) summary').click({ timeout: 5000 })
    await expect(field).toBeVisible({ timeout: 1000 })
  }).toPass()
  await field.fill(text)
  // Not by pointer: the camera's picture may go in the same instant, and the button moves up.
  await to.locator('[data-device=use]').press('Enter')
}

/** Opens the code that the bench shows on the phone, and gives the bench the phone's. */
export async function introduced(bench: Page, phone: Page): Promise<void> {
  await phone.goto((await code(bench).getAttribute('data-text')) ?? '')
  await paste(bench, (await code(phone).getAttribute('data-text')) ?? '')
}
