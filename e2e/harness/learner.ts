import { execFileSync } from 'node:child_process'
import { setTimeout as sleep } from 'node:timers/promises'
import { type Page, expect } from '@playwright/test'
import { Bench } from './bench.ts'
import { holdClock } from './practice.ts'
import { binary } from './program.ts'

/** An entry of a script's answer, as far as a learner needs it. */
interface Entry {
  type: string
  time: string
  of?: string
  data: { body: Record<string, unknown> }
}

/** A script with its published answer, as the program prints it. */
interface Script {
  cues: { kind: string }[]
  answers: { cue: number; entry: Entry }[]
  given: number
  division: { periods_ms: number[] }
}

/** What a practice's page says of itself. */
interface Look {
  over: boolean
  cue: number
  waits: string
  looks: number
  quiet: number // milliseconds of the practice's clock for which nothing new comes
  released: string[]
  held: boolean // the practice stands still
}

const longest = 2400 // milliseconds in one leap of the browser's clock: a page takes three seconds for a sleep
const patience = 2000 // milliseconds for an answer of the engine, on a busy machine
const step = 16 // milliseconds of the page's time in one step while something is done

/**
 * Learner plays a whole practice through the real screens: it knows the
 * published answer, and enters what each cue asks for when the cue was shown. It
 * is quick because it lets the browser's clock leap while nothing is to be done;
 * the practice is none the wiser. While it does something the clock goes on step by
 * step, so that a slow machine makes nobody late. `slip` may change or leave out what
 * it enters. `watch` looks at the page before each of its acts.
 */
export class Learner {
  readonly bench: Bench
  readonly script: Script
  readonly #coming: Entry[] = []
  #reached = -1
  #steps = false // it goes step by step
  #settled = false // nothing was done since the practice was last seen to say nothing of it

  constructor(readonly page: Page, id: string, private readonly touch = false, private readonly slip: (entry: Entry) => Entry | null = (entry) => entry, private readonly watch?: (learner: Learner) => Promise<void>) {
    this.bench = new Bench(page)
    this.script = JSON.parse(execFileSync(binary, ['practice', 'script', id, '--json'], { encoding: 'utf8', maxBuffer: 1 << 26 })) as Script
  }

  /** The part of the practice's page with that hook. */
  at(name: string) {
    return this.page.locator(`[data-practice="${name}"]`)
  }

  async open(site: string, id: string, seat = 'solo', pace = 'fast'): Promise<void> {
    this.#steps = pace === 'step'
    // Somebody who has watched the drill before; who has not is shown it first.
    await this.page.addInitScript((drill) => localStorage.setItem('whistlestop.practice.watched', JSON.stringify([`${drill} `])), id)
    await this.page.clock.install()
    await this.page.goto(`${site}#play/${id}/${seat}/${pace}`)
    await expect(this.at('go')).toBeVisible()
    await holdClock(this.page)
    await this.act(() => this.at('go').click())
  }

  /** Plays until the practice is over, or until `enough` says so. */
  async play(enough: (look: Look) => Promise<boolean> = () => Promise.resolve(false)): Promise<void> {
    for (;;) {
      const look = await this.look()
      if (look.over) return
      this.reach(look.cue)
      // Step by step it stands still for a slip: also for that of a machine that was late at the clock.
      if (look.held) await expect(this.at('stopped')).toBeVisible()
      if (await enough(look)) return
      if (look.held) {
        await this.act(() => this.at('stop-go').click())
        continue
      }
      if (this.#steps && !this.#settled) {
        await this.settle()
        continue
      }
      const [released] = look.released
      if (this.#coming.length > 0 || released !== undefined || look.waits !== '') await this.watch?.(this)
      if (look.waits === 'start' || look.waits === 'stop') await this.act(() => this.pressClock(look.waits === 'start'))
      else if (released !== undefined) await this.act(() => this.tellOut(released))
      else if (this.#coming.length > 0) await this.act(() => this.enter(this.#coming.shift() as Entry))
      else if (look.waits === 'next') await this.act(() => this.goOn())
      else await this.leap(look)
    }
  }

  /** Does something while the page's time goes on: a step of it, then the next. */
  async act(deed: () => Promise<void>): Promise<void> {
    this.#settled = false
    let done = false
    const doing = deed().then(() => undefined, (reason: unknown) => ({ reason })).finally(() => (done = true))
    while (!done) {
      await this.page.clock.runFor(step)
      await sleep(step / 2)
    }
    const failed = await doing
    if (failed) throw failed.reason
  }

  private async look(): Promise<Look> {
    return this.page.evaluate(() => {
      const page = document.querySelector<HTMLElement>('[data-practice=page]')
      const { cue, waits = '', looks, quiet, released = '', held } = page?.dataset ?? {}
      const over = document.querySelector('[data-practice=summary], [data-practice=broken]') !== null
      return { over, cue: Number(cue ?? -1), waits, looks: Number(looks), quiet: Number(quiet), released: released.split(',').filter(Boolean), held: held === 'true' }
    })
  }

  /** Takes in what the cues up to this one ask for. */
  private reach(cue: number): void {
    while (this.#reached < cue) {
      this.#reached++
      for (const answer of this.script.answers) {
        if (answer.cue !== this.#reached) continue
        const entry = this.slip(answer.entry)
        if (entry) this.#coming.push(entry)
      }
    }
  }

  /**
   * Waits until the practice has looked at what was done just now. Step by step it may stop the game for that, and
   * whoever types meanwhile types into its words. The first look may still be without an entry that is on its way.
   */
  private async settle(): Promise<void> {
    for (let i = 0; i < 2; i++) {
      const look = await this.look()
      if (look.held || look.over) return
      await this.leap({ ...look, quiet: 300 })
    }
    this.#settled = true
  }

  /**
   * Puts the page's time on until it looks again. A page that was still asking its engine for words when its time was
   * put on has set its next look behind that: time goes on in steps then, as it does for people.
   */
  private async leap({ looks, quiet }: Look): Promise<void> {
    await this.page.clock.fastForward(Math.min(longest, Math.max(20, quiet + 5)))
    const late = Date.now() + patience
    const looked = async () => {
      const now = await this.look()
      if (now.over || now.held || now.looks > looks) return true
      if (Date.now() > late) await this.page.clock.runFor(step)
      return false
    }
    await expect.poll(looked, { intervals: [2, 5, 5, 10, 20] }).toBe(true)
  }

  private async pressClock(on: boolean): Promise<void> {
    // On the bench, or on the seat of the clock.
    if (this.touch) await this.page.locator('[data-bench=clock-control], [data-seat=clock-control]').tap()
    else await this.page.keyboard.press('F2')
    await expect(this.page.locator('[data-bench=clock], [data-seat=clock]')).toHaveAttribute('data-running', String(on))
    // A second press within a quarter of a second is the same press.
    await this.page.clock.fastForward(260)
    await expect(this.at('page')).toHaveAttribute('data-waits', /^(?!start$|stop$)/)
  }

  /** Asks for what comes next, unless a slip stops the practice first: its words would cover the key. */
  private async goOn(): Promise<void> {
    await expect(async () => {
      const { held, over, waits } = await this.look()
      if (!held && !over && waits === 'next') await this.at('next').click({ timeout: 1000 })
    }).toPass({ timeout: 60_000, intervals: [1] })
  }

  private async tellOut(who: string): Promise<void> {
    const [side = '', number = ''] = who.split(' ')
    const door = this.page.locator(`[data-rink=box][data-side=${side}] [data-rink=sits][data-number="${number}"]`)
    await door.click()
    await expect(this.at('page')).not.toHaveAttribute('data-released', new RegExp(`(^|,)${who}(,|$)`))
  }

  /** Enters one entry by the controls of the bench. */
  private async enter({ type, data: { body } }: Entry): Promise<void> {
    const { bench } = this
    const { side = 'home', player = '' } = body as { side?: 'home' | 'visitors'; player?: string }
    switch (type.split('.')[1]) {
      case 'clock_started':
      case 'clock_stopped':
        return // what waits for the clock is done first
      case 'stage_begun':
        await bench.begin(stageName(body['stage'] as Stage))
        return
      case 'penalty':
        await this.penalty(side, player, body as unknown as Called)
        return
      case 'goal': {
        const { scorer, assists = [] } = body as { scorer: string; assists?: string[] }
        if (this.touch) await bench.tapGoal(side, scorer, assists)
        else await bench.typeCall(['g', side[0], scorer, ...(assists.length > 0 ? assists : ['-'])].join(' '))
        return
      }
      case 'seated':
        if (body['in'] !== true) return // told at the door of the rink
        await this.sees(side, player)
        return
      case 'time_out':
        await bench.typeCall(`t ${side[0]}`)
        return
      case 'clock_set':
        await this.putClock(body['elapsed_ms'] as number)
        return
      case 'struck':
        await bench.posting(async () => {
          await bench.act(bench.at('line').and(this.page.locator('[data-kind=goal]')).first(), 'strike')
          await bench.considered()
          await bench.at('post').click()
        })
        return
      default:
        throw new Error(`nobody has taught the learner to enter ${type}`)
    }
  }

  /** Somebody sits down: the bench asks for that before it is READY. */
  private async sees(side: string, player: string): Promise<void> {
    const row = this.page.locator(`[data-key^="seat/${side}/${player}/"] [data-bench=settle]`)
    if (!(await row.first().isVisible())) await this.bench.at('hold-more').click()
    await this.bench.posting(() => row.first().click())
  }

  private async penalty(side: 'home' | 'visitors', player: string, { call, parts, signalled, served_by }: Called): Promise<void> {
    const double = parts.join() === 'minor,minor'
    if (this.touch) {
      await this.bench.tapPenalties([{ side, number: player, call, length: double ? 'double_minor' : parts[0] === 'major' ? 'major' : 'minor' }])
      return
    }
    const given = double ? ['double'] : parts.map((part) => ({ misconduct: 'misc', game_misconduct: 'gm' })[part] ?? part)
    const words = [side[0], player === '' ? 'b' : player, ...call.split('_'), ...given]
    await this.bench.typeCall([...words, ...(signalled ? ['!'] : []), ...(served_by ? ['by', served_by] : [])].join(' '))
  }

  private async putClock(elapsed: number): Promise<void> {
    const left = ((this.script.division.periods_ms[0] ?? 0) - elapsed) / 1000
    await this.bench.posting(async () => {
      await this.bench.at('clock').click()
      await this.bench.at('clock-field').fill(`${Math.floor(left / 60)}:${String(left % 60).padStart(2, '0')}`)
      await this.bench.at('clock-set').click()
    })
  }
}

interface Stage {
  kind: string
  number?: number
}

/** A stage as the buttons of the bench name it. */
function stageName({ kind, number = 1 }: Stage): string {
  if (kind === 'overtime') return number === 1 ? 'Begin overtime' : `Begin ${ordinals[number]} overtime`
  if (kind === 'over') return 'End the game'
  return `Begin ${ordinals[number]} ${kind}`
}

const ordinals = ['', '1st', '2nd', '3rd', '4th', '5th']

interface Called {
  call: string
  parts: string[]
  signalled?: boolean
  served_by?: string
}
