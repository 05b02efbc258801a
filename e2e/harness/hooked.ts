import { type Locator, type Page, expect } from '@playwright/test'

/** A page whose parts carry hooks: data-bench, data-seat and so on. */
export class Hooked {
  constructor(readonly page: Page, private readonly attribute: string) {}

  /** The part of the page with that hook. */
  at(name: string): Locator {
    return this.page.locator(`[data-${this.attribute}="${name}"]`)
  }

  /** The number of the newest entry that the page knows. */
  async seq(): Promise<number> {
    return Number(await this.at('page').getAttribute('data-seq'))
  }

  /** Does something that posts, and waits until the page has the answer. */
  async posting(deed: () => Promise<void>): Promise<void> {
    const before = await this.seq()
    await deed()
    await expect.poll(() => this.seq(), { intervals: [5, 10, 20, 50] }).toBeGreaterThan(before)
  }
}
