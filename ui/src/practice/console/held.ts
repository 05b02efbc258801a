import type { ConsoleAct } from '../../base/contract/contract'

/** A drill that was begun and is not over: it goes on where it was after a reload. */
interface Begun {
  card: string // the card's text
  drill: string
  seed: number
  helps: boolean
  acts: ConsoleAct[]
}

const place = 'whistlestop.consoles.drill'

/** The drill at a card that was begun here; undefined: none. */
export function begun(card: string): Begun | undefined {
  try {
    const one = JSON.parse(localStorage.getItem(place) ?? 'null') as Begun | null
    return one?.card === card && Array.isArray(one.acts) ? one : undefined
  } catch {
    return undefined
  }
}

/** Keeps a drill as far as it has come; undefined: it is over. */
export function keepBegun(one: Begun | undefined): void {
  try {
    if (one) localStorage.setItem(place, JSON.stringify(one))
    else localStorage.removeItem(place)
  } catch {
    // a browser that keeps nothing: the drill is there until the page is closed
  }
}
