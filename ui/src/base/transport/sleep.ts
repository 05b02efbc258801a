const frozen = 5000 // milliseconds by which a look is late: the page stood still
const ahead = 1000 // milliseconds that the wall clock may gain on the monotonic one between two looks

/** The two clocks of a device. Milliseconds. */
interface Clocks {
  wall: () => number
  steady: () => number
}

/**
 * SleepWatch notices that the device slept, or that the page was frozen. In some
 * browsers the monotonic clock stands still meanwhile, in others it runs on: the
 * one shows as a wall clock that got ahead, the other as a gap between two looks.
 * A wall clock set forward looks the same as a sleep, and costs one measurement.
 */
export class SleepWatch {
  #wall: number
  #steady: number

  constructor(private readonly clocks: Clocks = { wall: () => Date.now(), steady: () => performance.now() }) {
    this.#wall = clocks.wall()
    this.#steady = clocks.steady()
  }

  /** Called again within so many milliseconds, or sooner. True once after each sleep. */
  look(within: number): boolean {
    const wall = this.clocks.wall()
    const steady = this.clocks.steady()
    const gap = steady - this.#steady
    const gained = wall - this.#wall - gap
    this.#wall = wall
    this.#steady = steady
    return gap > within + frozen || gained > ahead
  }
}
