import type { Reading } from './clock/reading'
import type { Now } from './lanes/play'

/**
 * EndWatch tells once when a clock runs out while somebody watches. A page that
 * is opened after the end hears nothing.
 */
export class EndWatch {
  #was: { key: string; running: boolean } = { key: '', running: false }

  /** `key` names the stage. True in the one frame in which its clock has run out. */
  look(key: string, running: boolean, over: boolean): boolean {
    const was = this.#was
    this.#was = { key, running }
    return over && was.key === key && was.running && !running
  }
}

/** TurnWatch tells when a running period comes past a multiple of a length, as for changing players. */
export class TurnWatch {
  #was: { period: number; turn: number } = { period: 0, turn: 0 }

  /** `every` in milliseconds. True in the one frame in which a turn is over, not at the end of the period. */
  look(every: number, now: Now, reading: Reading): boolean {
    const was = this.#was
    this.#was = { period: now.period, turn: Math.floor(reading.elapsed / every) }
    return now.play && reading.running && was.period === now.period && this.#was.turn === was.turn + 1
  }
}
