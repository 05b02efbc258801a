import { type Browser, type BrowserContext, type Locator, type Page, expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import { ulid } from './game.ts'
import type { Program } from './program.ts'

const bounce = 300 // milliseconds: a second press on the clock within 250 is the same press

/** A seat that a phone can have. */
export interface Role { seat: 'clock' | 'box' | 'book' | 'shots' | 'voice'; side?: 'home' | 'visitors' }

/** A phone with a browser of its own, a stranger to the program until the bench lets it in. */
export class Phone {
  private constructor(
    readonly context: BrowserContext,
    readonly page: Page,
    readonly device: string,
    private readonly network: string,
  ) {}

  /** `network` is the address by which it reaches the program, where that is not the usual one. */
  static async fresh(browser: Browser, program: Program, device: string, network = program.network): Promise<Phone> {
    const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, locale: 'en-GB' })
    return new Phone(context, await context.newPage(), device, network)
  }

  /** A phone that took the seat: invited at the bench, let in there by hand. */
  static async seated(browser: Browser, program: Program, bench: Bench, role: Role, device: string, network = program.network): Promise<Phone> {
    const phone = await Phone.fresh(browser, program, device, network)
    await phone.ask(await invite(bench, role))
    await letIn(bench, device)
    await expect(phone.at('page')).toBeVisible()
    return phone
  }

  /** The part of a seat's page with that hook. */
  at(name: string): Locator {
    return this.page.locator(`[data-seat="${name}"]`)
  }

  /** The part of the joining page with that hook. */
  join(name: string): Locator {
    return this.page.locator(`[data-join="${name}"]`)
  }

  async open(path: string): Promise<void> {
    await this.page.goto(this.network + path)
  }

  /** Scans the code of an invite, and asks to join. */
  async ask(link: string): Promise<void> {
    await this.open(`/join#${new URL(link).hash.slice(1)}`)
    await this.join('device').fill(this.device)
    await this.join('go').click()
  }

  /** Types a code with the keys of the page, and asks to join. */
  async type(code: string): Promise<void> {
    await expect(this.join('page')).toHaveAttribute('data-step', 'typing')
    for (const letter of code.replace('-', '')) await this.page.locator(`[data-join=key][data-letter=${letter}]`).click()
    await this.join('device').fill(this.device)
    await this.join('go').click()
  }

  /** Presses the clock's control as a thumb does: it acts when the thumb comes down. */
  async pressClock(): Promise<void> {
    await this.page.waitForTimeout(bounce)
    await this.at('clock-control').dispatchEvent('pointerdown', { button: 0, pointerType: 'touch' })
  }

  /** Posts an entry as this phone's seat, without its screen. Resolves to the status of the answer. */
  async post(game: string, kind: string, body: object, more: { of?: string; saw?: number } = {}): Promise<number> {
    const { saw = 0, of } = more
    const entry = {
      specversion: '1.0', id: ulid(), source: `/game/${game}`, type: `whistlestop.${kind}.v1`, time: new Date().toISOString(),
      ...(of ? { of } : {}), data: { at: { period: 0, elapsed_ms: 0 }, body },
    }
    return this.page.evaluate(
      async ([path, text]) => (await fetch(path, { method: 'POST', headers: { 'content-type': 'application/json' }, body: text })).status,
      [`/api/games/${game}/entries`, JSON.stringify({ entries: [entry], ...(saw > 0 ? { saw } : {}) })] as const,
    )
  }

  /** The number of the newest entry that the page knows. */
  async seq(): Promise<number> {
    return Number(await this.at('page').getAttribute('data-seq'))
  }
}

/** Offers a seat at the bench. The result is the address of the code to scan. */
export async function invite(bench: Bench, { seat, side }: Role): Promise<string> {
  await bench.setUp('seats')
  await bench.page.locator(`[data-bench=seat-invite][data-seat=${seat}][data-side="${side ?? ''}"]`).click()
  const link = await bench.at('invite').getAttribute('data-link')
  await bench.at('seats-close').click()
  return link ?? ''
}

/** Says yes to a device that asks. */
export async function letIn(bench: Bench, device: string): Promise<void> {
  await bench.page.locator(`[data-bench=seat-request][data-device="${device}"] [data-bench=seat-approve]`).click()
}
