import { type Locator, type Page, expect } from '@playwright/test'
import type { Bench } from './bench.ts'

const bounce = 300 // milliseconds: a second press on the clock within 250 is the same press

/** Fingers at the bench: nothing is clicked and no key is pressed. */
export class Touch {
  constructor(private readonly bench: Bench) {}

  /** Taps what has this hook, or that place. */
  async tap(what: string | Locator): Promise<void> {
    await (typeof what === 'string' ? this.bench.at(what) : what).first().tap()
  }

  /** A tap that posts. */
  async post(what: string | Locator): Promise<void> {
    const tap = () => this.tap(what)
    await (what === 'post' ? this.bench.postingBuilt(tap) : this.bench.posting(tap))
  }

  /** Starts or stops the clock. */
  async clock(on: boolean): Promise<void> {
    await this.bench.page.waitForTimeout(bounce)
    await this.post('clock-control')
    await expect(this.bench.at('clock')).toHaveAttribute('data-running', String(on))
  }

  /** Puts the clock right by its own pad, such as "1000" for 10:00. What was entered at the whistle stays there. */
  async setClock(digits: string): Promise<void> {
    await this.tap('clock')
    for (const digit of digits) await this.tap(`pad-${digit}`)
    await this.bench.leaveWhistle((moves) => this.tap(moves))
    await this.post('clock-set')
  }

  /** Lets the period run out from its last second. */
  async runOut(): Promise<void> {
    await this.setClock('001')
    await this.post('clock-control')
    await expect(this.bench.at('next-stage')).toBeVisible()
  }

  /** Begins the stage that the edge offers; a break that is cut short is asked about, and confirmed. */
  async next(): Promise<void> {
    const before = await this.bench.seq()
    await this.tap('next-stage')
    const asks = this.bench.at('unusual-do')
    await expect.poll(async () => (await asks.isVisible()) || (await this.bench.seq()) > before).toBe(true)
    if (await asks.isVisible()) await this.post(asks)
  }

  /** How many steps the rink's board waits for; the strip of a phone goes with the last one. */
  async waiting(): Promise<number> {
    const card = this.bench.at('card')
    return (await card.count()) === 0 ? 0 : Number(await card.getAttribute('data-waiting'))
  }

  /** Does what is to be done on the rink's board, step by step. */
  async board(steps: number): Promise<void> {
    await expect.poll(() => this.waiting()).toBe(steps)
    for (let left = steps - 1; left >= 0; left--) {
      await this.post('card-tick')
      await expect.poll(() => this.waiting()).toBe(left)
    }
  }

  async number(number: string): Promise<void> {
    await this.tap(this.bench.page.locator(`[data-bench=number][data-number="${number}"]`))
  }

  /** Begins a goal or a penalty of a side: one tap while play is on, two while nothing is played. */
  private async begin(kind: string, side: string): Promise<void> {
    const four = this.bench.page.locator(`[data-bench=four][data-kind=${kind}][data-side=${side}]`)
    const word = this.bench.at(`kind-${kind}`)
    await expect(four.or(word)).toBeVisible()
    if (await four.isVisible()) return this.tap(four)
    await this.tap(word)
    await this.tap(`side-${side}`)
  }

  async penalty(side: string, number: string, call: string): Promise<void> {
    await this.begin('penalty', side)
    await this.number(number)
    await this.tap(this.bench.page.locator(`[data-bench=call-choice][data-call="${call}"]`))
    await this.bench.considered()
  }

  async goal(side: string, ...numbers: string[]): Promise<void> {
    await this.begin('goal', side)
    for (const number of numbers) await this.number(number)
    if (numbers.length === 1) await this.tap('unassisted')
    await this.bench.considered()
    await this.post('post')
  }
}

/** Draws a line with a finger. */
export async function draw(page: Page, on: Locator): Promise<void> {
  await on.scrollIntoViewIfNeeded()
  const box = await on.boundingBox()
  if (!box) throw new Error('there is nowhere to draw')
  const finger = await page.context().newCDPSession(page)
  const at = (x: number, y: number) => [{ x: box.x + box.width * x, y: box.y + box.height * y }]
  await finger.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: at(0.2, 0.5) })
  for (const [x, y] of [[0.3, 0.2], [0.45, 0.7], [0.6, 0.3], [0.8, 0.6]] as const) await finger.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: at(x, y) })
  await finger.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] })
  await finger.detach()
}
