import type { Timepiece } from '../base/transport/link'

const frozen = 3000 // milliseconds in which nobody asked for the time: the page or the device slept

/** From an instant of the page's monotonic count on, the practice's time is ahead of it by so much. Milliseconds. */
interface Stretch { from: number; ahead: number }

/**
 * PracticeClock is the time of one practice game. It goes as fast as real time,
 * so that tenths mean what they mean in a game; it can be paused, and put on past
 * what nobody needs to watch, and never steps back. The engine has no clock and is told this one with
 * every question.
 */
export class PracticeClock implements Timepiece {
  readonly measured = true
  readonly bound = 1 // the page and its engine share one clock; the millisecond is what is cut off
  readonly details = null
  /** The newest stretch last; earlier ones are kept for events that are handled late. */
  #stretches: Stretch[]
  #stands: number | undefined // the time at which it stands
  #asked: number

  /** `start` is the practice's time at the beginning, milliseconds of Unix time; it stands until go is called. */
  constructor(start: number, private readonly steady: () => number = () => performance.now()) {
    this.#asked = steady()
    this.#stretches = [{ from: Number.NEGATIVE_INFINITY, ahead: start - this.#asked }]
    this.#stands = start
  }

  get paused(): boolean {
    return this.#stands !== undefined
  }

  /**
   * The time now, in milliseconds of Unix time, with fractions. The page asks many
   * times a second; while it slept nobody practised, and that time is left out.
   */
  now(): number {
    const steady = this.steady()
    const gap = steady - this.#asked
    this.#asked = steady
    if (this.#stands !== undefined) return this.#stands
    if (gap > frozen) this.#put({ from: steady, ahead: this.#ahead - gap })
    return this.#at(steady)
  }

  of(event: Event): number {
    const now = this.now()
    const age = this.steady() - event.timeStamp
    // Some browsers gave events a stamp of another kind: trust none that is not just past.
    if (this.#stands !== undefined || age < 0 || age >= 1000) return now
    return this.#at(event.timeStamp)
  }

  /** Stands still until go. */
  pause(): void {
    this.#stands ??= this.now()
  }

  go(): void {
    if (this.#stands === undefined) return
    const from = this.steady()
    this.#asked = from
    this.#put({ from, ahead: this.#stands - from })
    this.#stands = undefined
  }

  /** Puts the time on by so many milliseconds. */
  jump(milliseconds: number): void {
    if (this.#stands !== undefined) this.#stands += milliseconds
    else this.#put({ from: this.steady(), ahead: this.#ahead + milliseconds })
  }

  hint(): void {
    // Nothing to guess: the bench goes by this clock.
  }

  forget(): void {
    // What is known of this clock does not grow old.
  }

  measure(): Promise<void> {
    return Promise.resolve()
  }

  get #ahead(): number {
    return (this.#stretches.at(-1) as Stretch).ahead
  }

  #put(stretch: Stretch): void {
    this.#stretches = [...this.#stretches.slice(-3), stretch]
  }

  #at(steady: number): number {
    const found = this.#stretches.filter((one) => one.from <= steady).at(-1) ?? (this.#stretches[0] as Stretch)
    return steady + found.ahead
  }
}
