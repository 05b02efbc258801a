import type { AmendedBody, At, Entry, Line, Seat } from '../../base/contract/contract'
import { aboutOf } from '../../game/about'
import { kindOf } from './ledger'

/** One thing that was done to an entry, the posting of it included. */
export interface Version {
  entry: string
  seq: number
  deed: 'posted' | 'amended' | 'struck' | 'back' // back: a strike or an amendment was taken back
  says?: AmendedBody // what it says from then on; of a strike: what was struck
  at: At
  wall: number // when, milliseconds of Unix time
  seat: Seat
  by: string
  reason: string
  gone: boolean // it does not count any more
}

/** What was done to the entry `id`, newest first. `ledger` is oldest first, `lines` are the same in words. */
export function versionsOf(ledger: Entry[], lines: Line[], id: string): Version[] {
  const about = new Map(lines.filter((line) => aboutOf(line) === id).map((line) => [line.entry, line]))
  const all = new Map(ledger.filter((entry) => about.has(entry.id)).map((entry) => [entry.id, entry]))
  return [...all.values()].map((entry): Version => {
    const of = entry.of === undefined ? undefined : all.get(entry.of)
    return {
      entry: entry.id,
      seq: entry.seq ?? 0,
      deed: deedOf(entry, of),
      says: saysOf(entry.type === 'whistlestop.struck.v1' && of ? of : entry),
      at: entry.data.at,
      wall: Date.parse(entry.time),
      seat: entry.seat ?? 'solo',
      by: entry.by ?? '',
      reason: entry.type === 'whistlestop.struck.v1' ? (entry.data.body.reason ?? '') : '',
      gone: about.get(entry.id)?.struck ?? false,
    }
  }).reverse()
}

function deedOf(entry: Entry, of: Entry | undefined): Version['deed'] {
  if (!of) return 'posted'
  if (entry.type === 'whistlestop.amended.v1') return 'amended'
  return of.of === undefined ? 'struck' : 'back'
}

function saysOf(entry: Entry): AmendedBody | undefined {
  if (entry.type === 'whistlestop.struck.v1') return undefined
  if (entry.type === 'whistlestop.amended.v1') return entry.data.body
  return { kind: kindOf(entry), body: entry.data.body } as AmendedBody
}

/** The number that orders each goal and call within its whistle, as it counts now. */
export function ordersOf(ledger: Entry[], lines: Line[]): Record<string, number> {
  const byEntry = new Map(lines.map((line) => [line.entry, line]))
  const orders: Record<string, number> = {}
  for (const entry of ledger) {
    const line = byEntry.get(entry.id)
    if (line && line.kind !== 'struck' && (line.kind !== 'amended' || !line.struck)) orders[aboutOf(line)] = entry.data.at.order ?? 0
  }
  return orders
}
