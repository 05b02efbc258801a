import type { Division, Due, Pace, PracticeResult, Readiness, ScriptTitle, Scripts, Seat, Today } from '../../base/contract/contract'
import type { Engine } from '../engine'
import { ask } from './ask'
import { type Texts, browserTexts } from './drawer'
import { today } from './day'
import { seats } from './result'

/** The paces in the order in which a learner takes them. */
export const paces = ['step', 'fast', 'real'] as const satisfies Pace[]

const setting = 'whistlestop.practice.setup'

/** A length of time in whole minutes, at least one. */
export function minutes(length: number): number {
  return Math.max(1, Math.round(length / 60_000))
}

/**
 * Setup is what a practice is chosen from, and the choice of seat and pace,
 * which is remembered. Somebody new begins with the whole bench, step by step; on a
 * phone with the Clock.
 */
export class Setup {
  scripts = $state.raw<ScriptTitle[]>([])
  divisions = $state.raw<Division[]>([])
  due = $state.raw<Due[]>([])
  /** The drills that the seat needs, in the order in which they are learnt. */
  wanted = $state.raw<string[]>([])
  ready = $state.raw<Readiness>()
  seat = $state<(typeof seats)[number]>('solo')
  pace = $state<Pace>('step')
  why = $state('') // the engine has no answer
  #engine: Engine
  #texts: Texts | undefined

  /** On a phone (`small`) somebody new begins with one seat: its screen is made for a phone, the whole bench is not. */
  constructor(engine: Engine, texts: Texts | undefined = browserTexts(), small = false) {
    if (small) this.seat = 'clock'
    this.#engine = engine
    this.#texts = texts
    try {
      const [seat, pace] = (texts?.getItem(setting) ?? '').split(' ')
      this.seat = seats.find((one) => one === seat) ?? this.seat
      this.pace = paces.find((one) => one === pace) ?? 'step'
    } catch {
      // A browser that keeps nothing: the usual choice.
    }
  }

  choose(seat: Seat, pace: Pace): void {
    this.seat = seats.find((one) => one === seat) ?? 'solo'
    this.pace = pace
    try {
      this.#texts?.setItem(setting, `${this.seat} ${pace}`)
    } catch {
      // It counts until the page is closed.
    }
  }

  async load(): Promise<void> {
    await this.#try(async () => {
      this.scripts = (await ask<Scripts>(this.#engine, '/practice/scripts')).scripts
      const { divisions, own = [] } = await ask<{ divisions: Division[]; own?: string[] }>(this.#engine, '/divisions')
      // The association's own first: who opens its site has nothing to choose.
      this.divisions = [...divisions.filter((one) => own.includes(one.id)), ...divisions.filter((one) => !own.includes(one.id))]
    })
  }

  /** Works out what somebody should practise for the seat. */
  async look(name: string, results: PracticeResult[]): Promise<void> {
    const { seat } = this
    const asking = (who: string, known: PracticeResult[]) => ask<Today>(this.#engine, '/practice/today', { results: known, name: who, seat, day: today() })
    await this.#try(async () => {
      const [mine, all] = [await asking(name, name === '' ? [] : results), await asking('', [])]
      if (seat !== this.seat) return // somebody chose another one meanwhile
      this.due = mine.due
      this.ready = mine.ready
      this.wanted = all.due.map((one) => one.drill) // for somebody without results everything is due
    })
  }

  /** Takes a file or a ledger as a script, until the page is closed. */
  async add(name: string, text: string): Promise<ScriptTitle> {
    const title = await ask<ScriptTitle>(this.#engine, '/practice/scripts', { name, text })
    await this.load()
    return title
  }

  make(order: { seed: number; level: number; skills: string[]; division: string }): Promise<ScriptTitle> {
    return ask<ScriptTitle>(this.#engine, '/practice/scripts/made', order)
  }

  script(id: string): ScriptTitle | undefined {
    return this.scripts.find((one) => one.id === id)
  }

  async #try(deed: () => Promise<void>): Promise<void> {
    try {
      await deed()
      this.why = ''
    } catch (reason) {
      this.why = reason instanceof Error ? reason.message : String(reason)
    }
  }
}
