import type { Bench } from './bench.ts'
import type { WallPage } from './fixtures.ts'

/** What hands do in a new Under 14 game, on any bench, and what it and its Wall then show. */
export interface Scene {
  name: string
  play(rink: { bench: Bench; wall: WallPage }): Promise<void>
}
