import { type Locator, type Page, expect } from '@playwright/test'

/** The practice site, as somebody at home sees it. */
export class PracticeSite {
  constructor(readonly page: Page, readonly origin: string) {}

  /** Opens a page of the site: '' is the menu. */
  async open(place = ''): Promise<void> {
    await this.page.goto(`${this.origin}/practice/${place}`)
    await expect(this.at(place === '#coordinator' ? 'coordinator-page' : 'menu')).toBeVisible()
    await this.page.evaluate(() => document.fonts.ready)
  }

  /** The part of the menu, the results or the coordinator's page with that hook. */
  at(name: string): Locator {
    return this.page.locator(`[data-progress="${name}"]`)
  }

  /** Chooses a seat and a pace. */
  async choose(seat: string, pace: string): Promise<void> {
    await this.page.locator(`[data-progress=seat][data-seat=${seat}]`).click()
    await this.page.locator(`[data-progress=pace][data-pace=${pace}]`).click()
  }

  /**
   * Looks on at what was begun until it is over, on a page whose clock is put on:
   * a learner who touches nothing gets a result as well. `clock.install` comes
   * before the page is opened.
   */
  async lookOn(): Promise<void> {
    await this.page.locator('[data-practice=go]').click()
    await expect(async () => {
      await this.page.clock.runFor(2500)
      expect(await this.page.locator('[data-practice=summary]').count()).toBe(1)
    }).toPass({ intervals: [1], timeout: 600_000 })
  }
}

/** How many pages a PDF has, counted by its page objects. */
export function pagesOf(pdf: Buffer): number {
  return pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length ?? 0
}

/**
 * From here on the page's clock goes on only when it is told to: no machine is too slow
 * for what a test does meanwhile. `clock.install` comes before the page is opened. The
 * clock leaps a minute ahead, as if the device had slept: no practice counts that.
 */
export async function holdClock(page: Page): Promise<void> {
  await page.clock.pauseAt(await page.evaluate(() => Date.now()) + 60_000)
}
