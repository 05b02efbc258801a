import type { At, Line } from '../../base/contract/contract'
import type { Built } from './built'

/** A call that was not posted yet, as it stays while the page is loaded again. */
export interface Kept {
  current: Built
  collected: Built[]
  line: string
  at: string
  atPeriod: number
  began: At | null
  amending: Line | null // the line that is changed, as it was when that was begun
  saw: number // number of the newest entry then
}

type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>

const place = (game: string) => `whistlestop.built.${game}`

/** Keeps what is built; null: there is nothing. */
export function keepBuilt(game: string, kept: Kept | null, shelf: Shelf): void {
  try {
    if (kept) shelf.setItem(place(game), JSON.stringify(kept))
    else shelf.removeItem(place(game))
  } catch {
    // No room, or forbidden: it is lost with the page, as it was before.
  }
}

/** What was built when the page was left; null where there is nothing, or nothing that can be read. */
export function builtBefore(game: string, shelf: Shelf): Kept | null {
  try {
    const kept = JSON.parse(shelf.getItem(place(game)) ?? 'null') as Partial<Kept> | null
    if (!kept?.current || typeof kept.current.kind !== 'string' || !Array.isArray(kept.collected)) return null
    return {
      current: kept.current, collected: kept.collected, line: kept.line ?? '', at: kept.at ?? '', atPeriod: kept.atPeriod ?? 0, began: kept.began ?? null,
      amending: kept.amending ?? null, saw: kept.saw ?? 0,
    }
  } catch {
    return null
  }
}
