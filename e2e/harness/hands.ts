import { mkdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { type Locator, type Page, type TestInfo, expect } from '@playwright/test'
import { type Step, type Story, type Way, storyFolder } from './story.ts'

/**
 * Hands do what a page says, step by step, and count: a tap on a control is one,
 * a run of keys typed into a field is one, a key by itself (Enter, F9) is one.
 * A step that is not what the page says fails, so page and screen cannot differ.
 */
export class Hands {
  private count = 0

  constructor(
    private readonly page: Page,
    private readonly story: Story,
    private readonly way: Way,
    private readonly info: TestInfo,
  ) {}

  /** Taps the control, whose words must be those that the page has in bold. */
  async tap(control: Locator): Promise<void> {
    const step = this.next('Tap')
    await expect(control, `step ${this.count}, ${step.what}`).toBeVisible()
    const words = await control.evaluate((node) => `${node.getAttribute('aria-label') ?? ''} ${(node as HTMLElement).innerText}`)
    expect(words.replace(/\s+/g, ' ').toLowerCase(), `the words of step ${this.count}`).toContain(step.what.toLowerCase())
    await control.click()
  }

  /** Types what the page says, as it is: the keys find their field by themselves. */
  async type(field: Locator): Promise<void> {
    const step = this.next('Type')
    await expect(field).toBeVisible()
    await this.page.keyboard.type(step.what)
    await expect(field).toHaveValue(step.what)
  }

  /** Presses the key that the page names. */
  async press(): Promise<void> {
    await this.page.keyboard.press(this.next('Press').what)
  }

  /** Reads what the screen says: the quotation of the page with that number, from 0. */
  async read(place: Locator, index = 0): Promise<void> {
    const words = this.story.says[index]
    expect(words, `quotation ${index + 1} of the page`).toBeDefined()
    await expect(place).toContainText(words ?? '')
  }

  /** Takes the picture of the page: its key moment. */
  async picture(): Promise<void> {
    // docs/ is written by "make screens" only, at the size of a laptop: a test leaves it as it is.
    const laptop = (this.page.viewportSize()?.width ?? 0) > 1000
    const folder = process.env['STORY_PICTURES'] && laptop ? storyFolder : this.info.outputPath()
    const path = join(folder, this.story.picture)
    mkdirSync(dirname(path), { recursive: true })
    await this.page.evaluate(() => document.fonts.ready)
    await this.page.screenshot({ path, animations: 'disabled' })
  }

  /** All that the page says was done, in no more taps than it says. */
  done(): void {
    expect(this.count, 'every step of the page was done').toBe(this.way.steps.length)
    expect(this.count, 'no more taps than the page says').toBeLessThanOrEqual(this.way.most)
  }

  private next(verb: Step['verb']): Step {
    const step = this.way.steps[this.count]
    this.count++
    expect(step?.verb, `step ${this.count} of “${this.way.name}”`).toBe(verb)
    return step as Step
  }
}
