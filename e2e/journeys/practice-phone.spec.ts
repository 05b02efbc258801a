import { type Browser, expect, type Page, type TestInfo } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { hidden, sideways } from '../harness/fit.ts'
import { Learner } from '../harness/learner.ts'
import { PracticeSite } from '../harness/practice.ts'

// A practice on a phone: one seat, room for what is entered, and nothing that is asked under a bar.

const sizes = [{ width: 390, height: 844 }, { width: 360, height: 640 }]

/** Says which of these, of those that are on the page, are not wholly in view, or lie under something. */
function covered(page: Page, selector: string): Promise<string[]> {
  return page.evaluate((wanted) => {
    const shown = [...document.querySelectorAll<HTMLElement>(wanted)].filter((one) => one.getClientRects().length > 0)
    if (shown.length === 0) return [`nothing is ${wanted}`]
    return shown.flatMap((one) => {
      const { left, right, top, bottom } = one.getBoundingClientRect()
      const edge = 3 // pixels: corners are round
      const faults: string[] = []
      for (const [x, y] of [[left + edge, top + edge], [right - edge, top + edge], [left + edge, bottom - edge], [right - edge, bottom - edge], [(left + right) / 2, (top + bottom) / 2]] as const) {
        const over = document.elementFromPoint(x, y)
        if (!over) faults.push(`${one.textContent?.trim()}: beyond the window at ${Math.round(x)},${Math.round(y)} of ${innerWidth}x${innerHeight}`)
        else if (!one.contains(over) && !over.contains(one)) faults.push(`${one.textContent?.trim()}: under ${over.tagName.toLowerCase()}.${over.className} at ${Math.round(x)},${Math.round(y)}`)
      }
      return faults
    })
  }, selector)
}

/** Somebody practises on a phone; what the test presses is pressed in the page, so that nothing is scrolled but by the page. */
class Phone {
  private constructor(readonly page: Page, readonly learner: Learner, private readonly info: TestInfo) {}

  static async open(browser: Browser, origin: string, viewport: { width: number; height: number }, drill: string, seat: string, info: TestInfo): Promise<Phone> {
    const context = await browser.newContext({ viewport, hasTouch: true, isMobile: true, locale: 'en-GB' })
    const page = await context.newPage()
    // The test enters what it measures; what is left is the clock, and who sits.
    const learner = new Learner(page, drill, true, (entry) => (seat === 'solo' && !/goal|penalty|seated/.test(entry.type) ? entry : null))
    await learner.open(`${origin}/practice/`, drill, seat)
    return new Phone(page, learner, info)
  }

  /** Lets the practice go on until something is so, and the page do what it does then. */
  async until(enough: Parameters<Learner['play']>[0]): Promise<void> {
    await this.learner.play(enough)
    await this.learner.act(() => this.drawn())
  }

  private drawn(): Promise<void> {
    return this.page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(undefined)))))
  }

  async said(words: string): Promise<boolean> {
    return (await this.page.locator('[data-rink=heard]').innerText()).includes(words)
  }

  /** How high the strip above the seat is, in pixels. */
  strip(): Promise<number> {
    return this.page.locator('aside[aria-label]').first().evaluate((one) => one.getBoundingClientRect().height)
  }

  async press(selector: string): Promise<void> {
    const at = this.page.locator(selector).filter({ visible: true }).first()
    await this.learner.act(async () => {
      await at.evaluate((one: HTMLElement) => one.click())
      await this.drawn()
    })
  }

  /** Posts what is built, and waits until the game has it. */
  async posted(): Promise<void> {
    const seq = () => this.page.locator('[data-bench=page], [data-seat=page]').first().getAttribute('data-seq')
    const before = Number(await seq())
    await this.learner.bench.considered()
    await this.page.locator('[data-bench=post]').evaluate((one: HTMLElement) => one.click())
    await expect.poll(async () => Number(await seq())).toBeGreaterThan(before)
  }

  /** What these are is wholly in view, with nothing over it, and the page is no broader than the window. */
  async clear(selector: string, what: string): Promise<void> {
    await this.shot(what)
    expect(await covered(this.page, selector), what).toEqual([])
    expect(await sideways(this.page)).toBe(0)
  }

  /** These can be reached by scrolling; then the page stands where it stood. */
  async reached(selector: string): Promise<void> {
    expect(await hidden(this.page, selector), 'all of them can be reached').toEqual([])
    await this.page.evaluate(() => scrollTo(0, 0))
  }

  async shot(name: string): Promise<void> {
    await this.page.screenshot({ path: this.info.outputPath(`${name.replace(/\W+/g, '-')}.png`) })
  }

  close(): Promise<void> {
    return this.page.context().close()
  }
}

for (const viewport of sizes) {
  const size = `${viewport.width}x${viewport.height}`

  test(`at ${size} somebody new begins with one seat, and whoever chose another one stays with it`, async ({ browser, program }) => {
    const context = await browser.newContext({ viewport, hasTouch: true, isMobile: true, locale: 'en-GB' })
    const page = await context.newPage()
    const site = new PracticeSite(page, program.origin)
    await site.open()
    await expect(page.locator('[data-progress=seat][data-seat=clock]')).toHaveAttribute('aria-checked', 'true')
    await site.choose('solo', 'fast')
    await page.reload()
    await expect(page.locator('[data-progress=seat][data-seat=solo]')).toHaveAttribute('aria-checked', 'true')
    await context.close()
  })

  for (const seat of ['solo', 'book']) {
    test(`at ${size} nothing that is asked for a penalty and a goal lies under a bar, of the ${seat}`, async ({ browser, program }, info) => {
      const phone = await Phone.open(browser, program.origin, viewport, 'drill-power-play-goal', seat, info)
      const { page, learner } = phone
      const open = await phone.strip()
      for (const kind of ['penalty', 'goal'] as const) {
        await phone.until(async () => phone.said(kind === 'goal' ? 'Goal, ' : 'Minor'))
        const before = await phone.strip()
        const begins = `[data-bench=four][data-kind=${kind}], [data-bench=kind-${kind}]`
        await phone.clear(begins, `what begins the ${kind}`)
        await phone.press(begins)
        if ((await page.locator('[data-bench=number]').count()) === 0) {
          await phone.clear('[data-bench=side-home], [data-bench=side-visitors]', 'the sides')
          await phone.press('[data-bench=side-home]')
        }
        expect(await phone.strip(), 'the strip does not grow').toBeLessThanOrEqual(before)
        await phone.clear('[data-practice=pause]', `the pause while the ${kind} is entered`)
        if (viewport.height > 720) expect(await phone.strip(), 'and is smaller than while nothing is entered').toBeLessThan(open - 30)
        expect(await phone.strip(), 'and leaves two thirds of the window').toBeLessThan(viewport.height / 3)
        const under = await covered(page, '[data-bench=number]')
        const numbers = await page.locator('[data-bench=number]').filter({ visible: true }).count()
        expect(numbers - new Set(under.map((one) => one.split(':')[0])).size, `numbers in view at once: ${under.join('; ')}`).toBeGreaterThanOrEqual(8)
        await phone.reached('[data-bench=number], [data-bench=post]')
        await phone.press('[data-bench=number][data-number="9"]')
        if (kind === 'goal') await phone.press('[data-bench=unassisted]')
        else {
          await phone.shot('calls')
          const calls = await page.locator('[data-bench=call-choice]').filter({ visible: true }).count()
          const away = new Set((await covered(page, '[data-bench=call-choice]')).map((one) => one.split(':')[0]))
          expect(calls - away.size, 'calls in view at once; the rest is turned to').toBeGreaterThanOrEqual(4)
          await phone.press('[data-bench=call-choice][data-call="tripping"]')
          await phone.reached('[data-bench=part]')
        }
        await phone.shot(`${kind}-whole`)
        await phone.clear('[data-bench=post]', `what posts the ${kind}`)
        await learner.act(() => phone.posted())
      }
      await phone.close()
    })
  }

  test(`at ${size} nothing that is asked of the box lies under a bar`, async ({ browser, program }, info) => {
    const phone = await Phone.open(browser, program.origin, viewport, 'drill-minor', 'box', info)
    const { page } = phone
    await phone.until(() => page.locator('[data-seat=in]').isVisible())
    await phone.clear('[data-seat=in]', 'who is seen to sit down')
    await phone.press('[data-seat=in]')
    await phone.until(async () => (await page.locator('[data-seat=out]').count()) > 0)
    await phone.clear('[data-seat=out], [data-rink=sits]', 'who is told to leave, on the seat and at the door')
    await phone.close()
  })

  test(`at ${size} nothing that is asked of the clock lies under a bar`, async ({ browser, program }, info) => {
    const phone = await Phone.open(browser, program.origin, viewport, 'drill-put-back', 'clock', info)
    const asked = new Set<string>()
    await phone.until(async ({ waits }) => {
      if (waits === 'start' || waits === 'stop') {
        if (!asked.has(waits)) await phone.clear('[data-seat=clock-control]', `to ${waits} the clock`)
        asked.add(waits)
      }
      return phone.said('Put the clock')
    })
    expect([...asked]).toContain('stop')
    await phone.clear('[data-seat=clock-control], [data-seat=horn], [data-seat=set]', 'the clock')
    await phone.press('[data-seat=set]')
    await phone.clear('[data-bench=clock-field], [data-bench=clock-way], [data-bench^=pad-]', 'the time is put right')
    await phone.press("[data-bench=pad-8]")
    await phone.clear('[data-bench=clock-set], [data-bench=clock-sentence]', 'what sets it')
    expect(await phone.strip(), 'the strip leaves two thirds of the window').toBeLessThan(viewport.height / 3)
    await phone.close()
  })
}

// A window that is broader than a phone and too narrow for the rink beside it has the strip too.
for (const viewport of [{ width: 412, height: 915 }, { width: 600, height: 960 }, { width: 768, height: 1024 }]) {
  test(`at ${viewport.width}x${viewport.height} the strip makes room while something is entered, and comes back`, async ({ browser, program }, info) => {
    const phone = await Phone.open(browser, program.origin, viewport, 'drill-score', 'solo', info)
    const { page } = phone
    const open = await phone.strip()
    await phone.until(() => phone.said('Goal, '))
    const before = await phone.strip()
    await phone.press('[data-bench=four][data-kind=goal], [data-bench=kind-goal]')
    if ((await page.locator('[data-bench=number]').count()) === 0) await phone.press('[data-bench=side-home]')
    expect(await phone.strip()).toBeLessThan(open - 30)
    expect(await phone.said('Goal, '), 'what was said stays').toBe(true)
    await phone.clear('[data-rink=heard] li.newest', 'what was said')
    await phone.clear('[data-bench=number]', 'every number')
    await phone.shot('begun')
    for (let n = 0; n < 3 && (await page.locator('[data-bench=clear]').count()) > 0; n++) await phone.press('[data-bench=clear]')
    expect(await phone.strip()).toBe(before)
    await phone.close()
  })
}
