/** What the page tells the bench's thread. */
export type ToBench =
  | { packed: Blob; language: string; texts: string }
  | { id: number; method: string; path: string; body: Uint8Array<ArrayBuffer> }
  | { listen: number; game: string; view: string }
  | { deaf: number }

/** What the bench's thread tells the page. */
export type FromBench =
  | { ready: true }
  | { failed: 'open' | 'files' | 'broken'; why: string } // in another window; no files; anything else
  | { stopped: true }
  | { id: number; status: number; media: string; name: string; body: Uint8Array<ArrayBuffer> }
  | { heard: number; event: string; data: string; lastEventId: string }
  | { beat: string }
