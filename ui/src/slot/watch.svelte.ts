import type { SlotForecast } from '../contract/contract'
import { askOutlook } from './forecast'

const least = 20_000 // milliseconds between two questions
const again = 30_000 // milliseconds after which a stoppage that goes on is asked about again
const grown = 5 * 60_000 // milliseconds by which it must get worse before a notice comes back
const setting = 'whistlestop.slot'

/** SlotWatch asks at stoppages when the game will likely end. */
export class SlotWatch {
  outlook = $state.raw<SlotForecast | null>(null)
  /** The end of the ice time as a person gave it on this device; null: the division's. */
  end = $state<number | null>(null)
  /** Whether the sheet about the ice time is open. */
  open = $state(false)
  #asked = Number.NEGATIVE_INFINITY
  #seen = $state(Number.NEGATIVE_INFINITY) // by how much it was over when a person put the notice away

  constructor(private readonly game: string) {
    const kept = Number(localStorage.getItem(`${setting}.${game}`))
    if (kept > 0) this.end = kept
  }

  /** Whether there is something that somebody must act on. */
  readonly notice: SlotForecast | null = $derived.by(() =>
    this.outlook?.over && this.outlook.by_ms > this.#seen + (this.#seen > 0 ? grown : 0) ? this.outlook : null,
  )

  /** Called when play stops, and when it goes on: the result ends the questions. */
  watch(running: boolean): () => void {
    if (running) {
      if (!this.outlook) void this.ask()
      return () => undefined
    }
    let timer: ReturnType<typeof setTimeout>
    const next = (wait: number) => {
      timer = setTimeout(() => void this.ask().finally(() => next(again)), wait)
    }
    next(Math.max(0, this.#asked + least - performance.now()))
    return () => clearTimeout(timer)
  }

  /** Asks now. Without an answer the old forecast stands. */
  async ask(): Promise<void> {
    this.#asked = performance.now()
    this.outlook = await askOutlook(this.game, this.end).catch(() => this.outlook)
  }

  /** Takes the end of the ice time from a person; null: the division's again. */
  setEnd(end: number | null): void {
    this.end = end
    this.#seen = Number.NEGATIVE_INFINITY
    if (end === null) localStorage.removeItem(`${setting}.${this.game}`)
    else localStorage.setItem(`${setting}.${this.game}`, String(end))
    void this.ask()
  }

  /** The notice was read. It comes back when it gets much worse. */
  putAway(): void {
    this.#seen = this.outlook?.by_ms ?? 0
  }
}
