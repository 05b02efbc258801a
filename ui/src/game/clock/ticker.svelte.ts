/**
 * Ticker hands out the bench's time once for every frame that is painted. One
 * of it serves a whole page, so that every number on it is of the same instant.
 */
export class Ticker {
  now = $state(0)
  #frame = 0

  constructor(private readonly read: () => number) {
    this.now = read()
  }

  /** Starts ticking; the result stops it. */
  start(): () => void {
    const step = () => {
      this.now = this.read()
      this.#frame = requestAnimationFrame(step)
    }
    step()
    return () => cancelAnimationFrame(this.#frame)
  }
}
