/** What a page hears from its bench: an EventSource, or what stands for one. */
export interface Source extends Pick<EventTarget, 'addEventListener'> {
  readonly readyState: number
  close(): void
}

/** The bench's time on this device. */
export interface Timepiece {
  /** Whether the bench's time is known. */
  readonly measured: boolean
  /** The bound of the error now, in whole milliseconds, or undefined while it was not measured. */
  readonly bound: number | undefined
  /** How far the bench's time is ahead of ours, the shortest round trip, and how long ago that was measured. Milliseconds. */
  readonly details: { offset: number; trip: number; age: number } | null
  /** The bench's time now, in milliseconds of Unix time. */
  now(): number
  /** The bench's time at which an event of this page happened. */
  of(event: Event): number
  /** Takes a first guess from a message that the bench sent just now. */
  hint(benchNow: number): void
  /** After a sleep nothing that was measured holds. */
  forget(): void
  /** Measures anew. Throws nothing. */
  measure(): Promise<void>
}

/** A bench that lives in this page: no network, no other page, no other device, nothing to copy. */
export interface Inside {
  fetch(path: string, init: RequestInit): Promise<Response>
  listen(path: string): Source
  time: Timepiece
  /** The horn of the screen begins to sound. */
  horn(): void
}

/** How this page reaches its bench: over the network, unless `inside` was set before the first screen was opened. */
export const way: { inside?: Inside } = {}

export function fetchBench(path: string, init: RequestInit): Promise<Response> {
  return way.inside ? way.inside.fetch(path, init) : fetch(`/api${path}`, init)
}

export function listenToBench(path: string): Source {
  return way.inside ? way.inside.listen(path) : new EventSource(`/api${path}`)
}
