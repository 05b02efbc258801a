import type { Timepiece } from './link'

/** One question about the time: when it left, what the bench said, when the answer came. */
export interface Probe { left: number; received: number; sent: number; back: number }

/** How far the bench's time is ahead of ours, and by how much that can be wrong. Milliseconds. */
export interface Offset { offset: number; bound: number }

const probes = 9 // the first wakes the radio and is thrown away

/**
 * How far two clocks can run apart, as a share of the time that passes: 100
 * parts in a million, which is more than the crystals of phones and laptops are
 * off (ours; no source). It makes 6 ms a minute.
 */
const drift = 1e-4

/**
 * What the bench's whole milliseconds hide: each of its two instants is cut off,
 * which moves the middle by less than one and the round trip by less than one.
 */
const rounding = 1.5

/** What a bound has become `age` milliseconds after it was measured. */
export function boundAfter(bound: number, age: number): number {
  return bound + drift * Math.max(0, age)
}

/** The best of the probes: the shortest round trip has the least room for error. */
export function bestOffset(list: Probe[]): Offset | null {
  let best: Offset | null = null
  for (const probe of list) {
    const trip = probe.back - probe.left - (probe.sent - probe.received)
    const bound = Math.max(0, trip) / 2
    if (best && best.bound <= bound) continue
    best = { offset: (probe.received + probe.sent - probe.left - probe.back) / 2, bound }
  }
  return best
}

/** Our own time, which never steps back: the start of the page plus a monotonic count. */
function localNow(): number {
  return performance.timeOrigin + performance.now()
}

/** BenchTime keeps the time of a bench across the network. */
export class BenchTime implements Timepiece {
  #offset = 0
  #bound = Number.POSITIVE_INFINITY
  #at = 0 // our own time of the measurement
  #busy = false
  measured = false

  constructor(private readonly ask: (sent: number) => Promise<{ received_ms: number; sent_ms: number }>) {}

  /** Takes a first guess from a message that the bench sent just now. */
  hint(benchNow: number): void {
    // No message comes before it was sent: the bench's time went on by itself, as after a sleep.
    if (this.bound !== undefined && benchNow > this.now() + this.bound) this.forget()
    if (!this.measured) this.#offset = benchNow - localNow()
  }

  /** The bench's time now, in milliseconds of Unix time. */
  now(): number {
    return localNow() + this.#offset
  }

  /** The bench's time at which an event of this page happened. */
  of(event: Event): number {
    const stamp = performance.timeOrigin + event.timeStamp
    // Some browsers gave events a stamp of another kind: trust none that is not just past.
    const age = localNow() - stamp
    return this.now() - (age >= 0 && age < 1000 ? age : 0)
  }

  /**
   * The bound of the error now, in whole milliseconds, or undefined while it was
   * not measured. It grows while the bench is not heard.
   */
  get bound(): number | undefined {
    return this.measured ? Math.max(1, Math.ceil(boundAfter(this.#bound + rounding, localNow() - this.#at))) : undefined
  }

  /** For the details panel: how far the bench's time is ahead of ours, and the shortest round trip. Milliseconds. */
  get details(): { offset: number; trip: number; age: number } | null {
    return this.measured ? { offset: this.#offset, trip: 2 * this.#bound, age: localNow() - this.#at } : null
  }

  /** After a sleep nothing that was measured holds: the count may have stood still. */
  forget(): void {
    this.measured = false
    this.#bound = Number.POSITIVE_INFINITY
  }

  /** Measures the offset with several round trips. Throws nothing: the old one stays. */
  async measure(): Promise<void> {
    if (this.#busy) return
    this.#busy = true
    const list: Probe[] = []
    try {
      for (let i = 0; i < probes; i++) {
        const left = localNow()
        const answer = await this.ask(left)
        const probe = { left, received: answer.received_ms, sent: answer.sent_ms, back: localNow() }
        if (i > 0) list.push(probe)
      }
    } catch {
      // What was answered so far counts.
    } finally {
      this.#busy = false
    }
    const best = bestOffset(list)
    if (!best) return
    // An older measurement may still be the better one, unless the two cannot both be true.
    const older = boundAfter(this.#bound, localNow() - this.#at)
    const agree = Math.abs(best.offset - this.#offset) <= older + best.bound
    if (this.measured && agree && older < best.bound) return
    this.#offset = best.offset
    this.#bound = best.bound
    this.#at = localNow()
    this.measured = true
  }
}
