import type { State } from '../contract/contract'

/** How a list changed: its length, and the elements that are new or different, by their place. */
interface ListChange {
  length: number
  at: Record<string, unknown>
}

/**
 * What is different between two versions of a state. It holds whole new values
 * under their paths, and goes onto every version from `from` up to `seq`.
 */
export interface Change {
  from: number
  seq: number
  set: Record<string, unknown>
  gone: string[]
  lists: Record<string, ListChange>
}

/** Whether a change leads on from a state. */
export function follows(change: Change, state: State | null): state is State {
  return state !== null && state.seq >= change.from && state.seq <= change.seq
}

/** The state after a change. The one before stays as it was; what did not change is shared. */
export function after(state: State, change: Change): State {
  const next = { ...state } as Record<string, unknown>
  const copied = new Set<string>()
  /** The object that holds the last name of a path, as one that may be changed. */
  const holder = (path: string): [Record<string, unknown>, string] => {
    const names = path.split('.')
    const last = names.pop() ?? ''
    let object = next
    let sofar = ''
    for (const name of names) {
      sofar += `${name}.`
      if (!copied.has(sofar)) object[name] = { ...(object[name] as object) }
      copied.add(sofar)
      object = object[name] as Record<string, unknown>
    }
    return [object, last]
  }
  for (const [path, value] of Object.entries(change.set)) {
    const [object, name] = holder(path)
    object[name] = value
  }
  for (const path of change.gone) {
    const [object, name] = holder(path)
    Reflect.deleteProperty(object, name)
  }
  for (const [path, { length, at }] of Object.entries(change.lists)) {
    const [object, name] = holder(path)
    const list = ((object[name] ?? []) as unknown[]).slice(0, length)
    for (const [place, value] of Object.entries(at)) list[Number(place)] = value
    object[name] = list
  }
  return next as unknown as State
}
