import { type Locator, type Page, expect } from '@playwright/test'
import { Hooked } from './hooked.ts'
import type { Call } from './table.ts'

const bounce = 300 // milliseconds: a second press on the clock within 250 is the same press

/** The bench page, worked as a volunteer works it: by touch or by keyboard. */
export class Bench extends Hooked {
  constructor(page: Page) {
    super(page, 'bench')
  }

  async open(address: string): Promise<void> {
    await this.page.goto(address)
    await expect(this.page.locator('[data-bench=page]')).toBeVisible()
  }

  /** Begins a stage by the name on its button, the usual one or one behind "more". */
  async begin(stage: string): Promise<void> {
    const usual = this.at('next-stage').filter({ hasText: stage })
    if (!(await usual.isVisible())) await this.at('more-stages').click()
    const button = usual.or(this.at('stage-choice').filter({ hasText: stage }))
    await this.posting(async () => {
      const before = await this.seq()
      await button.click()
      // A journey cuts periods and breaks short: the bench asks about that first.
      const asks = this.at('unusual-do')
      await expect.poll(async () => (await asks.isVisible()) || (await this.seq()) > before).toBe(true)
      if (await asks.isVisible()) await asks.click()
    })
  }

  /** Does something with a line of the ledger: what can be done stands on it once it is touched. */
  async act(line: Locator, what: 'amend' | 'strike' | 'history-open' | 'line-why'): Promise<void> {
    const act = line.locator(`[data-bench=${what}]`)
    if (!(await act.isVisible())) await line.locator('[data-bench=line-touch]').click()
    await act.click()
  }

  /** Opens what is set up out of the way of the game: the rosters, the seats, how the bench works. */
  async setUp(what: 'rosters' | 'seats' | 'work'): Promise<void> {
    await this.at('help').click()
    await this.page.locator(`[data-bench=help-overlay] [data-bench=${what}]`).click()
  }

  /** The newest line of the ledger that says this. */
  line(words: string | RegExp): Locator {
    return this.at('line').filter({ hasText: words }).first()
  }

  /**
   * Starts the clock by the key that is its own, also in the middle of a call. Near its
   * end it may have stopped by itself before anybody can see it run.
   */
  async startClock(): Promise<void> {
    await this.page.waitForTimeout(bounce)
    const before = await this.seq()
    await this.page.keyboard.press('F2')
    const started = async () => (await this.seq()) > before && (await this.at('clock').getAttribute('data-running')) === 'true'
    await expect.poll(async () => (await started()) || (await this.seq()) > before + 1, { intervals: [5, 10, 20, 50] }).toBe(true)
  }

  /** Stops the clock, no sooner than a press counts as another one. */
  async stopClock(): Promise<void> {
    await this.page.waitForTimeout(bounce)
    await this.posting(() => this.page.keyboard.press('F2'))
    await expect(this.at('clock')).toHaveAttribute('data-running', 'false')
  }

  /** Puts the clock right: `left` as it is read off the clock. What was entered at the whistle stays there. */
  async setClock(left: string): Promise<void> {
    await this.posting(async () => {
      await this.at('clock').click()
      await this.at('clock-field').fill(left)
      await this.leaveWhistle((moves) => moves.click())
      await this.at('clock-set').click()
    })
  }

  /** In a correction that is typed: what was entered at the whistle stays at its time. */
  async leaveWhistle(press: (what: Locator) => Promise<void>): Promise<void> {
    await expect(this.at('clock-set')).toBeEnabled() // it has read what was typed, and shows what it asks
    const moves = this.at('clock-moves')
    if ((await moves.count()) === 0 || (await moves.getAttribute('aria-checked')) !== 'true') return
    await press(moves)
    await expect(moves).toHaveAttribute('aria-checked', 'false')
  }

  /** Types a call into the command line, reads the sentence, and posts with Enter. */
  async typeCall(line: string): Promise<void> {
    await this.postingBuilt(async () => {
      await this.at('command').pressSequentially(line)
      await this.considered()
      await this.page.keyboard.press('Enter')
    })
  }

  /** Posts what is built, and waits until it is cleared away: a little after its answer was painted. */
  async postingBuilt(deed: () => Promise<void>): Promise<void> {
    await this.posting(deed)
    await expect(this.page.locator('[data-bench=call][data-busy=true]')).toHaveCount(0)
  }

  /** What begins a goal or a penalty of a side: one target while play is on, two words while nothing is played. */
  async beginCall(kind: 'goal' | 'penalty', side: string): Promise<void> {
    const four = this.page.locator(`[data-bench=four][data-kind=${kind}][data-side=${side}]`)
    const word = this.at(`kind-${kind}`)
    await expect(four.or(word)).toBeVisible()
    if (await four.isVisible()) return four.click()
    await word.click()
    await this.at(`side-${side}`).click()
  }

  async tapGoal(side: string, scorer: string, assists: string[]): Promise<void> {
    await this.beginCall('goal', side)
    for (const number of [scorer, ...assists]) await this.tapNumber(number)
    if (assists.length === 0) await this.at('unassisted').click()
    await this.tapPost()
  }

  /** Builds the calls of one stoppage, in the referee's order, and posts them together. */
  async tapPenalties(calls: Call[]): Promise<void> {
    for (const [i, call] of calls.entries()) {
      await this.beginCall('penalty', call.side)
      await this.tapNumber(call.number)
      await this.page.locator(`[data-bench=call-choice][data-call="${call.call}"]`).click()
      const part = this.page.locator(`[data-bench=part][data-part="${call.length}"]`)
      if ((await part.getAttribute('aria-pressed')) !== 'true') await part.click()
      if (i < calls.length - 1) await this.at('collect').click()
    }
    await this.tapPost()
  }

  async tapNumber(number: string): Promise<void> {
    await this.page.locator(`[data-bench=number][data-number="${number}"]`).click()
  }

  async tapPost(): Promise<void> {
    await this.considered()
    await this.postingBuilt(() => this.at('post').click())
  }

  /** Waits until the sentence of consequences stands for what is built. */
  async considered(): Promise<void> {
    await expect(this.at('sentence')).toHaveAttribute('data-asking', 'false')
    await expect(this.at('sentence').locator('p').first()).not.toBeEmpty()
    await expect(this.at('post')).toBeEnabled()
  }
}
