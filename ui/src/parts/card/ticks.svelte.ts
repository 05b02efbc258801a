import { SvelteSet } from 'svelte/reactivity'
import { draft } from '../../base/transport/draft'
import { boardCheck, nextStep, withSent } from './steps'
import type { Entry, RinkCardStep, RinkCardView, State } from '../../base/contract/contract'

/** What ticking needs of the game. */
interface Game {
  id: string
  card: RinkCardView | null
  state: State | null
  time: { now: () => number }
  post: (entries: Entry[]) => Promise<void>
}

/**
 * Ticks is the work through the steps of the rink card: what a finger ticked is
 * done at once, before the bench has answered.
 */
export class Ticks {
  /** Whether the board check is open. */
  checking = $state(false)
  /** Whether the keys are shown on the photo of the console. */
  picturing = $state(false)
  #sent = new SvelteSet<string>()

  constructor(
    private readonly game: Game,
    private readonly failed: (reason: unknown) => void,
  ) {}

  readonly steps: RinkCardStep[] = $derived.by(() => withSent(this.game.card?.steps ?? [], this.#sent))
  readonly next: RinkCardStep | null = $derived.by(() => nextStep(this.steps))
  readonly waiting: number = $derived.by(() => this.steps.filter((step) => !step.ticked).length)

  /** Ticks one step, or the next one. */
  tick(step: RinkCardStep | null = this.next): void {
    if (step && !step.ticked) this.#post([step.id])
  }

  /** Takes a tick back: the newest that names the step is struck. */
  untick(step: RinkCardStep): void {
    const ticked = (this.game.state?.lines ?? []).filter((line) => line.kind === 'ticked' && !line.struck && line.body.step === step.id)
    const of = ticked[ticked.length - 1]?.entry
    if (of === undefined) return
    this.game.post([draft({ game: this.game.id, kind: 'struck', body: {}, of, wall: this.game.time.now() })]).catch(this.failed)
  }

  /** Ticks all that is left. */
  all(): void {
    this.#post(this.#left())
  }

  #left(): string[] {
    return this.steps.filter((step) => !step.ticked).map((step) => step.id)
  }

  /** The board was looked at and reads as it should: so every step is done. */
  agrees(): void {
    this.checking = false
    this.#post([...this.#left(), boardCheck])
  }

  #post(ids: string[]): void {
    if (ids.length === 0) return
    const wall = this.game.time.now()
    for (const id of ids) this.#sent.add(id)
    this.game
      .post(ids.map((step) => draft({ game: this.game.id, kind: 'ticked', body: { step }, wall })))
      .catch(this.failed)
      // From here on the bench's own word counts.
      .finally(() => ids.forEach((id) => this.#sent.delete(id)))
  }
}
