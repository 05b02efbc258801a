import { createSubscriber } from 'svelte/reactivity'

const counts = 250 // milliseconds between two looks at the time while whole seconds are shown
const rests = 30_000 // and while nothing on the page counts

/**
 * Ticker hands out the bench's time once for every frame that is painted while
 * a clock runs, four times a second while something else counts, and twice a
 * minute while nothing does, so that a phone whose clock stands sleeps. One of
 * it serves a whole page, so that every number on it is of the same instant.
 */
export class Ticker {
  /** While the clock stands this may be half a minute old: `counted` is for what counts then, too. */
  now = $state(0)
  #frame = 0
  #rest: ReturnType<typeof setTimeout> | undefined
  #moves = $state.raw(false)
  #counts = false
  #on = false
  readonly #counting = createSubscriber(() => {
    this.#counts = true
    this.#wait()
    return () => {
      this.#counts = false
      this.#wait()
    }
  })

  constructor(private readonly read: () => number) {
    this.now = read()
  }

  /** The time for what counts while the clock stands: an effect that reads it is told four times a second at least. */
  get counted(): number {
    const { now } = this
    if (this.#moves) return now
    this.#counting()
    return this.read()
  }

  /** Starts ticking; the result stops it. */
  start(): () => void {
    this.#on = true
    this.look()
    return () => {
      this.#on = false
      this.#wait()
    }
  }

  /** Says whether a clock runs. What begins to move is looked at in the next frame. */
  moves(moves: boolean): void {
    if (moves === this.#moves) return
    this.#moves = moves
    if (this.#on) this.look()
  }

  /** Looks at the time now, as when something has changed. */
  look(): void {
    this.now = this.read()
    this.#wait()
  }

  #wait(): void {
    cancelAnimationFrame(this.#frame)
    clearTimeout(this.#rest)
    if (!this.#on) return
    if (this.#moves) this.#frame = requestAnimationFrame(() => this.look())
    else this.#rest = setTimeout(() => this.look(), this.#counts ? counts : rests)
  }
}
