import { type Page, expect } from '@playwright/test'
import { holdClock } from './practice.ts'

/** What a novice can do once the page has said so: by a prompt, or while it showed how it is done. */
type Skill = 'start' | 'stop' | 'goal' | 'call' | 'seat' | 'door' | 'stage' | 'back' | 'next'

/** The sentences from which each of them is learnt: those of a prompt, and of a play-through that is watched. */
const lessons: [RegExp, Skill][] = [
  [/^Start the clock$|so the clock starts\.$/, 'start'],
  [/^Stop the clock$|so the clock stops first/, 'stop'],
  [/^Enter the goal$|^Side, scorer, assists/, 'goal'],
  [/^Enter the penalty$|^Side, number, call/, 'call'],
  [/^Confirm who sits|look, then confirm\.$/, 'seat'],
  [/^Open the door: tap|the door opens at once/, 'door'],
  [/^Begin what the referee asks for$|says what comes next/, 'stage'],
  [/^Enter what the referee said$|nobody at the bench decides it\.$/, 'back'],
  [/: Next$/, 'next'],
]

const tapTime = 900 // milliseconds from seeing what is to be done to having tapped it
const lookTime = 260 // milliseconds in which a practice that goes on looks once at the least
const longest = 2400 // milliseconds in one leap of the browser's clock: a page takes three seconds for a sleep

/** What was read last, in the page. */
declare global { var noviceSaw: HTMLElement[] | undefined }

/** A control as a screen reader names it. */
interface Control { name: string; place: number; off: boolean }

/** What a page says to whoever only hears it: lines of text, and controls by their names. */
interface Screen { lines: string[]; controls: Control[] }

/**
 * Novice has never seen the site. It knows the words of the game as they are spoken, reads what
 * the page says and how its controls are named, and taps one of them every 0.9 seconds of the
 * page's own time. What to do when, it only knows once the page has said it. No time passes but
 * what the novice takes and the practice asks for, however slow the machine is.
 */
export class Novice {
  readonly known = new Set<Skill>()
  readonly #entered = new Set<string>()
  #begun = 0

  constructor(readonly page: Page) {}

  /** How long it is since the site was opened, in minutes of the page's time. */
  async minutes(): Promise<number> {
    return (await this.page.evaluate(() => Date.now()) - this.#begun) / 60_000
  }

  async open(address: string): Promise<void> {
    await this.page.clock.install()
    await this.page.goto(address)
    await expect(this.page.getByRole('button', { name: 'Start', exact: true })).toBeVisible()
    await holdClock(this.page)
    this.#begun = await this.page.evaluate(() => Date.now())
  }

  /** Taps the control of that name, when there was time to find it. */
  async tap(name: RegExp | string): Promise<void> {
    await this.#pass(tapTime)
    // An answer that was on its way may draw a control anew behind the look: then it is looked for again.
    for (let again = 0; again < 5; again++) {
      const screen = await this.#read()
      const control = screen.controls.find((one) => !one.off && (typeof name === 'string' ? one.name === name : name.test(one.name)))
      expect(control, `a control named ${name}, of ${screen.controls.map((one) => one.name).join(' | ')}`).toBeDefined()
      if (await this.#press((control as Control).place)) return
    }
    throw new Error(`${name} is drawn anew again and again`)
  }

  /** Opens a drill for the first time, which begins by showing how it is done, and watches that to its end. */
  async watch(drill: RegExp): Promise<void> {
    await this.menu(drill)
    for (;;) {
      const { lines, controls } = await this.#read()
      this.#learn(lines)
      if (controls.some((one) => one.name === 'Try it step by step')) return
      await this.#wait()
    }
  }

  /** Plays what is open to its end; returns the score that the page then says. */
  async play(): Promise<number> {
    await this.tap('Begin')
    for (;;) {
      const screen = await this.#read()
      this.#learn(screen.lines)
      const score = screen.lines.map((line) => /^(\d+) of 100$/.exec(line)?.[1]).find(Boolean)
      if (score !== undefined) return Number(score)
      const next = this.#decide(screen)
      if (!next) await this.#wait()
      else for (const name of next) await this.tap(name)
    }
  }

  /** Goes to the menu, and opens the practice of that name. */
  async choose(drill: RegExp): Promise<void> {
    await this.menu(drill)
    await expect.poll(async () => (await this.#read()).controls.some((one) => one.name === 'Begin')).toBe(true)
  }

  /** Opens what has that name on the menu. */
  async menu(drill: RegExp): Promise<void> {
    const back = (await this.#read()).controls.find((one) => one.name === 'Back to the menu')
    if (back) await this.tap('Back to the menu')
    await expect.poll(async () => (await this.#read()).controls.some((one) => drill.test(one.name))).toBe(true)
    await this.tap(drill)
  }

  #learn(lines: string[]): void {
    for (const line of lines) {
      for (const [sentence, skill] of lessons) if (sentence.test(line)) this.known.add(skill)
    }
  }

  /** What is to be tapped now, in order; nothing where there is nothing to do, or the novice does not know what. */
  #decide({ lines, controls }: Screen): (RegExp | string)[] | undefined {
    // What stands there still was said once; what comes again is said again.
    if (!controls.some((one) => one.name === 'Go on')) for (const line of this.#entered) if (!lines.includes(line)) this.#entered.delete(line)
    const has = (name: RegExp) => controls.some((one) => !one.off && name.test(one.name))
    const says = (words: RegExp) => lines.find((line) => words.test(line))
    if (has(/^Go on$/)) return [/^Go on$/] // a slip was told; it is read before
    if (has(/^Yes: /)) return [/^Yes: /] // the bench asks once about what is out of the usual order
    const play = says(/^Play$|^Play\. The referee's arm|^Play, on HOLD/) !== undefined
    const whistle = says(/^(Whistle: |Goal, |No goal$|Face-off\.|0:00\.|Before the face-off$|HOLD[.,] )/) !== undefined
    if (this.known.has('stop') && !play && whistle && has(/^Stop clock/)) return [/^Stop clock/]
    if (this.known.has('start') && play && has(/^Start clock/)) return [/^Start clock/]
    if (this.known.has('door')) {
      const out = controls.find((one) => /^Open the door for /.test(one.name) && this.#leaves(lines, one.name))
      if (out) return [out.name]
    }
    if (play) return undefined
    const asked = this.#asked(lines, has)
    if (asked) return asked
    if (this.known.has('seat') && says(/^Is .+ in the box, behind/) && has(/^Yes/)) return [/^Yes/]
    if (this.known.has('next') && has(/^Next$/)) return [/^Next$/]
    return undefined
  }

  /** Whether the bench says that this player comes out now. */
  #leaves(lines: string[], door: string): boolean {
    const [, team = '', number = ''] = /^Open the door for (.+) (\w+): /.exec(door) ?? []
    return lines.some((line) =>
      line.includes(`Let ${number} out: ${team}`) ||
      (/Out now|^Let out now:/.test(line) && line.includes(team) && line.split(/\W+/).includes(number)))
  }

  /** What enters the newest sentence of the referee, if it was not entered. */
  #asked(lines: string[], has: (name: RegExp) => boolean): (RegExp | string)[] | undefined {
    for (const line of lines) {
      if (this.#entered.has(line)) continue
      const taps = this.#sentence(line, has)
      if (!taps) continue
      this.#entered.add(line)
      return taps
    }
    return undefined
  }

  #sentence(line: string, has: (name: RegExp) => boolean): (RegExp | string)[] | undefined {
    const goal = /^Goal, (.+)\. Number (\d+), (?:unassisted|from (\d+)(?: and (\d+))?)\.$/.exec(line)
    if (goal && this.known.has('goal')) {
      const [, team = '', ...numbers] = goal
      const assists = numbers.slice(1).filter(Boolean)
      return [`${team} goal`, ...[numbers[0] as string, ...assists].map(number), ...(assists.length === 0 ? ['Unassisted'] : []), /^Post/]
    }
    const call = /^(.+), (\d+)\. Minor, [\d:]+\. (.+)\.$/.exec(line)
    if (call && this.known.has('call')) {
      const [, team = '', who = '', name = ''] = call
      return [`${team} penalty`, number(who), new RegExp(`^${name}$`, 'i'), /^Post/]
    }
    if (/^No goal\. Take it off the board\.$/.test(line) && this.known.has('back') && has(/Goal/)) return [/^Undo/, /^Remove it|^Post/]
    const stage = /^(?:We are ready\. Begin: |That is the end of the period\. )(.+?)(?:, please)?\.$/i.exec(line)
    if (stage && this.known.has('stage') && has(/^Begin /)) return [/^Begin /]
    return undefined
  }

  /** Lets time pass until something may have happened. */
  async #wait(): Promise<void> {
    const { quiet } = await this.#clockwork()
    await this.#leap(Math.min(longest, Math.max(30, quiet + 5)))
  }

  /** Lets so much of the page's time pass, and no more. */
  async #pass(time: number): Promise<void> {
    for (let left = time; left > 0;) {
      const { quiet } = await this.#clockwork()
      const one = Math.min(left, Math.max(30, quiet + 5), longest)
      await this.#leap(one)
      left -= one
    }
  }

  /** One leap of the page's clock; then the page has the answers to all that it had asked. */
  async #leap(time: number): Promise<void> {
    const before = await this.#clockwork()
    await this.page.clock.fastForward(time)
    if (!before.goes || time < Math.min(lookTime, before.quiet + 5)) return
    for (let asked = 1; ; asked++) {
      const now = await this.#clockwork()
      if (!now.goes || now.looks > before.looks) return
      // An answer that came behind the leap set its own time only then: on a slow machine nothing would move it on.
      if (asked % 100 === 0) await this.page.clock.fastForward(lookTime)
      if (asked > 3000) throw new Error('the practice does not look any more')
      await new Promise((later) => setTimeout(later, 10))
    }
  }

  /** Whether a practice goes on, and until when nothing new comes: for the clock of the test, not for the novice. */
  #clockwork(): Promise<{ goes: boolean; looks: number; quiet: number }> {
    return this.page.evaluate(() => {
      const { looks, quiet, held } = document.querySelector<HTMLElement>('[data-practice=page]')?.dataset ?? {}
      return { goes: held === 'false', looks: Number(looks ?? 0), quiet: Number(quiet ?? 0) }
    })
  }

  /** What the page says to whoever only hears it: what is hidden, covered or not to be touched is not on it. */
  #read(): Promise<Screen> {
    return this.page.evaluate(() => {
      const dialog = [...document.querySelectorAll('dialog')].find((one) => one.open)
      const root = dialog ?? document.body
      const seen = (one: Element) => one.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && one.closest('[aria-hidden=true]') === null
      const words = (one: Element) => {
        const copy = one.cloneNode(true) as Element
        for (const hidden of copy.querySelectorAll('[aria-hidden=true]')) hidden.remove()
        return (one.getAttribute('aria-label') ?? copy.textContent ?? '').replace(/\s+/g, ' ').trim()
      }
      const all = [...document.querySelectorAll<HTMLElement>('button, summary, a')]
      globalThis.noviceSaw = all
      const controls = all.flatMap((one, place) => {
        if (!root.contains(one) || !seen(one) || one.closest('[inert]')) return []
        return [{ name: words(one), place, off: (one as HTMLButtonElement).disabled === true }]
      })
      const lines = [...root.querySelectorAll('p, li, h1, h2, b, span, td, .text')].filter(seen).map(words).filter(Boolean)
      return { lines: [...new Set(lines.map((line) => line.replace(/^Referee /, '')))], controls }
    })
  }

  /** A finger on a control that was read last, in no time: nothing may lie over it. False: it is gone. */
  async #press(place: number): Promise<boolean> {
    const fault = await this.page.evaluate((at) => {
      const control = globalThis.noviceSaw?.[at]
      if (!control?.isConnected) return 'gone'
      control.scrollIntoView({ block: 'nearest' })
      const box = control.getBoundingClientRect()
      const over = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2)
      if (!over || !(control.contains(over) || over.contains(control))) return `it lies under ${over?.className ?? 'nothing'}`
      const touch = { bubbles: true, cancelable: true, button: 0, pointerId: 1, isPrimary: true }
      control.dispatchEvent(new PointerEvent('pointerdown', touch))
      control.dispatchEvent(new PointerEvent('pointerup', touch))
      control.dispatchEvent(new MouseEvent('click', { bubbles: true, cancelable: true, detail: 1 }))
      return ''
    }, place)
    if (fault === 'gone') return false
    expect(fault).toBe('')
    // What the tap asked for is answered before the next thing is read.
    await this.#leap(lookTime)
    return true
  }
}

/** A number of a team, as its target is named: with or without a player's name. */
const number = (one: string) => new RegExp(`^(Number )?${one}(\\D.*)?$`)

