import type { Device } from '../devices/answer'

/** What the page tells the bench's thread. */
export type ToBench =
  | { language: string; texts: string }
  | { id: number; method: string; path: string; body: Uint8Array<ArrayBuffer>; device: Device | null } // null: the page itself
  | { listen: number; game: string; view: string; device: Device | null }
  | { deaf: number }
  | { beats: boolean } // whether somebody listens for them
  | { hub: number } // which hub it is paired with

/** What the bench's thread tells the page. */
export type FromBench =
  | { ready: true }
  | { failed: 'open' | 'files' | 'absent' | 'broken'; why: string } // in another window; no files; it does not come; anything else
  | { stopped: true }
  | { id: number; status: number; media: string; name: string; body: Uint8Array<ArrayBuffer>; paired: string; leaves: boolean }
  | { heard: number; event: string; data: string; lastEventId: string }
  | { beat: string }
  | { hub: number; address: string; secret: string } // empty: none
