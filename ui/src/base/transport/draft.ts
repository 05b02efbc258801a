import type { At, Entry, Kind, Seat } from '../contract/contract'
import { ulid } from './ulid'

/** Where the clock stands now: the bench fills it in. */
const atNow: At = { period: 0, elapsed_ms: 0 }

type DataOf<K extends Kind> = Extract<Entry, { type: `whistlestop.${K}.v1` }>['data']['body']

/** What a draft is made of. `wall` is the instant touched, in the bench's time. */
interface Making<K extends Kind> {
  game: string
  kind: K
  body: DataOf<K>
  wall: number
  at?: At
  of?: string
  id?: string
  seat?: Seat // one who holds all seats, if not said
}

/** Makes a draft of an entry: a CloudEvent that has no place in the ledger yet. */
export function draft<K extends Kind>(making: Making<K>): Entry {
  return {
    specversion: '1.0',
    id: making.id ?? ulid(),
    source: `/game/${making.game}`,
    type: `whistlestop.${making.kind}.v1`,
    time: new Date(making.wall).toISOString(),
    seat: making.seat ?? 'solo',
    ...(making.of ? { of: making.of } : {}),
    data: { at: making.at ?? atNow, body: making.body },
  } as Entry
}
