const rests = 250 // milliseconds between two looks at the time while nothing moves: whole seconds are shown then

/**
 * Ticker hands out the bench's time once for every frame that is painted while
 * a clock runs, and four times a second while none does, so that a phone whose
 * clock stands draws nothing. One of it serves a whole page, so that every
 * number on it is of the same instant.
 */
export class Ticker {
  now = $state(0)
  #frame = 0
  #rest: ReturnType<typeof setTimeout> | undefined
  #moves = false
  #on = false

  constructor(private readonly read: () => number) {
    this.now = read()
  }

  /** Starts ticking; the result stops it. */
  start(): () => void {
    this.#on = true
    this.#step()
    return () => {
      this.#on = false
      this.#wait()
    }
  }

  /** Says whether a clock runs. What begins to move is looked at in the next frame. */
  moves(moves: boolean): void {
    if (moves === this.#moves) return
    this.#moves = moves
    if (this.#on) this.#step()
  }

  #step(): void {
    this.now = this.read()
    this.#wait()
  }

  #wait(): void {
    cancelAnimationFrame(this.#frame)
    clearTimeout(this.#rest)
    if (!this.#on) return
    if (this.#moves) this.#frame = requestAnimationFrame(() => this.#step())
    else this.#rest = setTimeout(() => this.#step(), rests)
  }
}
