// The order of goals, or of calls, at one whistle. In the ledger it is a number
// beside the moment, and the order of posting where the numbers are equal.

/** What stands at a place: `seq` in the ledger, and the number that was given by hand. */
export interface Place {
  entry: string
  seq: number
  order: number
}

/** Sorts places as they are played. */
export function inOrder(places: Place[]): Place[] {
  return [...places].sort((a, b) => a.order - b.order || a.seq - b.seq)
}

/**
 * The numbers that must change so that `entry` stands at `index` among the
 * places. As few as can be: mostly its own.
 */
export function moveTo(places: Place[], entry: string, index: number): Record<string, number> {
  const sorted = inOrder(places)
  const mover = sorted.find((one) => one.entry === entry)
  if (!mover) return {}
  const rest = sorted.filter((one) => one !== mover)
  const before = rest[index - 1]
  const after = rest[index]
  const changed: Record<string, number> = {}
  let order = mover.order
  if (before) order = Math.max(before.order, after ? before.order : order)
  else if (after) order = Math.min(after.order, order)
  if (before && order === before.order && before.seq > mover.seq) order++
  if (!before && after && order === after.order && after.seq < mover.seq) order--
  if (order !== mover.order) changed[entry] = order
  let last = { seq: mover.seq, order }
  for (const next of rest.slice(index)) {
    if (next.order > last.order || (next.order === last.order && next.seq > last.seq)) break
    const given = next.seq > last.seq ? last.order : last.order + 1
    changed[next.entry] = given
    last = { seq: next.seq, order: given }
  }
  return changed
}
