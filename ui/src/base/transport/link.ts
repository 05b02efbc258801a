import type { Component } from 'svelte'
import type { State } from '../contract/contract'
import type { Invite } from './seat'

/** What a page hears from its bench: an EventSource, or what stands for one. */
export interface Source extends Pick<EventTarget, 'addEventListener'> {
  readonly readyState: number
  close(): void
  /** Nothing on the screen counts, or something does again: whoever can rest sends no beats meanwhile, and tells an error when it does not answer. */
  rest?(on: boolean): void
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

/** An answer as a page reads it: a Response, or what stands for one. */
export type Answered = Pick<Response, 'ok' | 'status' | 'statusText' | 'text' | 'json' | 'blob' | 'arrayBuffer'> & { readonly headers: Pick<Headers, 'get'> }

/** What a page can do over its link, beside asking, posting and hearing. */
interface Can {
  seats: boolean // other devices can be seats of the game
  copies: boolean // further copies of the ledger are kept, here and in folders
  pages: boolean // the bench has other pages and files that a link in the page may open
  keeps: boolean // what is unsent or half built is still wanted after a reload
  shares: boolean // pages of one browser share its few connections to the bench
}

/**
 * Link is how a page reaches its bench. Whoever opens a screen hands it one;
 * the screen asks what the link can do and never what kind it is.
 */
export interface Link {
  readonly can: Can
  fetch(path: string, init: RequestInit): Promise<Answered>
  listen(path: string): Source
  /** The bench is in this page, where nothing can be lost on the way: its silence needs no watch ten times a second. */
  readonly near?: true
  /** The bench's time, where the link knows it; elsewhere it is measured by asking. */
  readonly time?: Timepiece
  /** The horn of the screen begins to sound. */
  horn?(): void
  /** Something is built on the screen and not posted, or is not any more. */
  drafting?(on: boolean): void
  /** The rink cards that were made on this device beside the bench, as their files, where the link knows of them. */
  readonly cards?: () => { rink: string; text: string }[]
  /** What the screen of a break has besides, where the link brings it: what to do for the games that lie in this browser. */
  readonly breaks?: Component<{ state: State }>
  /**
   * How another device is brought to the bench, where the link brings that: no address leads to a bench in a browser.
   * Without an invite it is for a device that has a seat and lost its link.
   */
  readonly introduce?: Component<{ invite?: Invite; left: string; now: number; withdraw: () => void }>
}

/**
 * Where the pages and the API of this page are, below the address of the program: nowhere deeper on a computer of the crew,
 * below its association at a hub.
 */
export const place = /^\/crew\/[^/]+(?=\/)/.exec(globalThis.location?.pathname)?.[0] ?? ''

/** The address of a game's report: at a hub it is one of the hub's own pages. */
export const reportAt = (ledger: string): string => (place === '' ? `/report/${ledger}` : `/reports/${ledger}`)

/** The bench across the network, which serves its API below /api. */
export const network: Link = {
  can: { seats: true, copies: true, pages: true, keeps: true, shares: true },
  fetch: (path, init) => fetch(`${place}/api${path}`, init),
  listen: (path) => new EventSource(`${place}/api${path}`),
}
