const quiet = 5000 // milliseconds without a question: somebody looks, or thinks
const worthIt = 30 // questions, those of some two goals: with fewer, collecting takes more than it gives
const pages = 1600 // of 64 kB: as much as makes browsers collect

/**
 * Has the browser collect what the page dropped, while nobody waits. By itself it waits until as much came again as
 * there was, collects in the middle of a post, and keeps what a screen was made of that was left last. A browser looks
 * for what it can give back when it is asked for much; memory that nobody writes into takes none of the device's.
 */
export class Clearing {
  #since = 0 // questions since it was collected last
  #rests: ReturnType<typeof setTimeout> | undefined

  /** The bench was asked something. */
  asked(): void {
    this.#since++
    this.#wait()
  }

  /** Much was dropped at once. */
  dropped(): void {
    this.#since = worthIt
    this.#wait()
  }

  #wait(): void {
    clearTimeout(this.#rests)
    if (this.#since >= worthIt) this.#rests = setTimeout(() => this.#collect(), quiet)
  }

  #collect(): void {
    this.#since = 0
    try {
      new WebAssembly.Memory({ initial: pages })
    } catch {
      // It has not so much to give: the browser collects when it must.
    }
  }
}
