import type { BenchSetBody, SlotForecast, State } from '../../base/contract/contract'
import type { Link } from '../../base/transport/link'
import { askOutlook } from './forecast'

const least = 20_000 // milliseconds between two questions
const again = 30_000 // milliseconds after which a stoppage that goes on is asked about again
const grown = 5 * 60_000 // milliseconds by which it must get worse before a notice comes back

/** What the watch needs of the game. */
interface Game {
  id: string
  link: Link
  state: State | null
}

/** SlotWatch asks at stoppages when the game will likely end. */
export class SlotWatch {
  outlook = $state.raw<SlotForecast | null>(null)
  /** Whether the sheet about the ice time is open. */
  open = $state(false)
  #asked = Number.NEGATIVE_INFINITY
  #seen = $state(Number.NEGATIVE_INFINITY) // by how much it was over when a person put the notice away

  constructor(
    private readonly game: Game,
    private readonly post: (change: Partial<BenchSetBody>) => void,
  ) {}

  /** The end of the ice time as somebody gave it, at whichever seat; null: the division's. */
  readonly end: number | null = $derived.by(() => this.game.state?.bench.slot_end_ms || null)

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
    this.outlook = await askOutlook(this.game.id, this.game.link).catch(() => this.outlook)
  }

  /** Takes the end of the ice time from a person, for every seat; null: the division's again. */
  setEnd(end: number | null): void {
    this.post({ slot_end_ms: end ?? 0 })
  }

  /** The end was given, here or at another seat: the forecast is another one. */
  ended(): void {
    this.#seen = Number.NEGATIVE_INFINITY
    void this.ask()
  }

  /** The notice was read. It comes back when it gets much worse. */
  putAway(): void {
    this.#seen = this.outlook?.by_ms ?? 0
  }
}
