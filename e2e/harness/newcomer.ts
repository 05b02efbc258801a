import { expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import type { Past } from './past.ts'
import { type Weighed, weighed } from './weight.ts'

const bounce = 300 // milliseconds: a second press on the clock within 250 is the same press

/** A newcomer at the bench, who notes where the heaviest control is none of those that may come next. */
class Newcomer {
  readonly faults: string[] = []
  constructor(private readonly bench: Bench) {}

  /** Looks, and returns what is heaviest. */
  async look(moment: string, legal: string[]): Promise<Weighed | undefined> {
    // The horn shows that it sounds; it is no call to press it.
    await expect(this.bench.page.locator('[data-horn=sounding]')).toHaveCount(0)
    await this.bench.page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
    const [first, second, third] = await weighed(this.bench.page)
    const say = (one?: Weighed) => (one ? `${one.hook} “${one.words}” ${one.weight}` : 'nothing')
    if (!first || !legal.includes(first.hook)) this.faults.push(`${moment}: ${say(first)}, before ${say(second)}, ${say(third)}; may come next: ${legal.join(', ')}`)
    return first
  }

  /** Presses what is heaviest, or else the first that may come next, until something is so. */
  async until(done: () => Promise<boolean>, moment: string, legal: string[]): Promise<void> {
    for (let press = 0; !(await done()); press++) {
      expect(press, `presses until the end of: ${moment}`).toBeLessThan(12)
      const first = await this.look(moment, legal)
      const asked = first && legal.includes(first.hook) ? first.hook : legal[0]!
      await this.bench.page.waitForTimeout(bounce)
      const control = this.bench.at(asked).filter({ visible: true })
      const open = control.and(this.bench.page.locator('[aria-checked=false]')) // what is ticked already is no step
      const before = await this.picture()
      await ((await open.count()) > 0 ? open : control).first().click()
      // The step to the next stage and Post are one press; what else is pressed changes the picture.
      if (asked === 'next-stage' || asked === 'post') await expect.poll(done).toBe(true)
      else await expect.poll(() => this.picture()).not.toBe(before)
    }
  }

  /** Does what the referee says, after a look. */
  async says(moment: string, legal: string[], act: () => Promise<void>): Promise<void> {
    await this.look(moment, legal)
    await act()
  }

  private picture(): Promise<string> {
    return this.bench.page.evaluate(() => [...document.querySelectorAll('[data-bench=page], [data-bench=todo], [data-bench=clock], [data-bench=todo-tick]')]
      .map((one) => [one.getAttribute('data-seq'), one.getAttribute('data-left'), one.getAttribute('data-running'), one.getAttribute('aria-checked')].join()).join(';'))
  }
}

/**
 * Somebody who has never seen the bench presses what is heaviest to the eye, through a game. Returns the
 * moments at which that was nothing that may come next; only whom and what for is the referee's to say.
 */
export async function newcomersGame(bench: Bench, past: Past): Promise<string[]> {
  const { page } = bench
  const newcomer = new Newcomer(bench)
  const stage = async () => page.locator('[data-bench=page]').getAttribute('data-stage')
  const running = async () => (await bench.at('clock').getAttribute('data-running')) === 'true'
  // A press may have scrolled a small page; a stage begins at its top.
  const top = () => page.evaluate(() => scrollTo(0, 0))
  const quiet = async () => {
    await expect(bench.at('next-stage')).toBeVisible()
    await top()
  }
  const play = () => newcomer.until(running, 'the puck may drop', ['clock-control', 'todo-tick'])
  const whistle = () => newcomer.says('play runs', ['clock-control', 'four'], () => bench.stopClock())
  const next = (kind: string, moment: string) => newcomer.until(async () => (await stage()) === kind, moment, ['next-stage', 'clock-control', 'todo-tick'])

  await next('warm_up', 'before the game')
  await newcomer.look('the warm-up', ['clock-control', 'next-stage'])
  await past.runOut(5 * 60_000)
  await quiet()
  await next('period', 'the warm-up is over')
  await play()
  await whistle()
  await newcomer.says('a whistle: a penalty', ['four', 'clock-control'], () => bench.beginCall('penalty', 'home'))
  await newcomer.says('a penalty: who', ['number', 'call-choice'], () => bench.tapNumber('17'))
  await newcomer.says('a penalty: what for', ['call-choice', 'number'], () => page.locator('[data-bench=call-choice][data-call=tripping]').click())
  await bench.considered()
  await newcomer.until(async () => !(await bench.at('post').isVisible()), 'a penalty is complete', ['post'])
  await play()
  await whistle()
  await newcomer.says('a whistle: a goal', ['four', 'clock-control'], () => bench.beginCall('goal', 'visitors'))
  await newcomer.says('a goal: who', ['number'], () => bench.tapNumber('8'))
  await newcomer.says('a goal: from whom', ['number', 'unassisted', 'post'], () => bench.tapNumber('23'))
  await bench.considered()
  await newcomer.until(async () => !(await bench.at('post').isVisible()), 'a goal is complete', ['post'])
  await play()
  await past.runOut()
  await quiet()
  await next('intermission', 'the period is over')
  await top()
  await newcomer.look('a break', ['next-stage', 'clock-control', 'todo-tick'])
  await past.runOut(60_000)
  await quiet()
  await next('period', 'the break is over')
  await past.runOut()
  await past.begin('intermission', 2)
  await past.begin('period', 3)
  await past.runOut()
  await quiet()
  await next('over', 'the game is over')
  await top()
  await newcomer.look('after the game', ['to-report'])
  return newcomer.faults
}
