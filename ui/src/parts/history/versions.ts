import type { AmendedBody, At, Entry, Seat } from '../../base/contract/contract'
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

/** What was done to the entry `id`, newest first. `ledger` is oldest first. */
export function versionsOf(ledger: Entry[], id: string): Version[] {
  const chain = new Map<string, Entry>()
  for (const entry of ledger) {
    if (entry.id === id || (entry.of !== undefined && chain.has(entry.of))) chain.set(entry.id, entry)
  }
  const all = [...chain.values()]
  const struck = struckBy(all)
  return all.map((entry): Version => {
    const of = entry.of === undefined ? undefined : chain.get(entry.of)
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
      gone: struck.has(entry.id),
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

/** Strikes point back, so from the newest on each is known to count or not. */
function struckBy(entries: Entry[]): Set<string> {
  const struck = new Set<string>()
  for (const entry of [...entries].reverse()) {
    if (entry.type === 'whistlestop.struck.v1' && entry.of !== undefined && !struck.has(entry.id)) struck.add(entry.of)
  }
  return struck
}

/** The number that orders each goal and call within its whistle, as it counts now. */
export function ordersOf(ledger: Entry[]): Record<string, number> {
  const struck = struckBy(ledger)
  const root: Record<string, string> = {}
  const orders: Record<string, number> = {}
  for (const entry of ledger) {
    const amends = entry.type === 'whistlestop.amended.v1' && entry.of !== undefined
    const at = amends ? (root[entry.of ?? ''] ?? entry.of ?? '') : entry.id
    root[entry.id] = at
    if (!amends || !struck.has(entry.id)) orders[at] = entry.data.at.order ?? 0
  }
  return orders
}
