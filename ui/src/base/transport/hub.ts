import type { Stage } from '../contract/contract'
import { ask } from './api'
import type { Link } from './link'

/** A game in the list of a team, as a hub tells it. */
export interface TeamGame {
  id: string
  home: string
  visitors: string
  division?: string
  date?: string
  score: [number, number]
  no_score?: boolean
  stage: Stage
  live: boolean // begun and not over
  held?: boolean // two benches differ: it is shown up to where they do not
  silent?: boolean // on, and the bench was not heard for a while
  heard_ms?: number // by the hub's time
}

/** What a hub says of a team. */
export interface TeamGames {
  association: string
  team: string
  games: TeamGame[]
  now_ms: number
}

/** Where a hub answers whoever has the link of a team. */
const below = (token: string) => `/v1/follow/${encodeURIComponent(token)}`

/** The link of a page to one game at a hub. Nothing can be posted over it. */
export function hubLink(token: string, game: string): Link {
  const at = below(token)
  return {
    can: { seats: false, copies: false, pages: false, keeps: false, shares: true },
    // The time is that of the game's bench, so it is asked below the game.
    fetch: (path, init) => fetch(path.startsWith('/time') ? `${at}/games/${game}${path}` : `${at}${path}`, init),
    listen: (path) => new EventSource(`${at}${path}`),
  }
}

/** The games of a team. Rejects with Refused or Unreachable. */
export function teamGames(token: string): Promise<TeamGames> {
  const can = { seats: false, copies: false, pages: false, keeps: false, shares: true }
  return ask<TeamGames>('', undefined, { over: { can, fetch: (_, init) => fetch(below(token), init), listen: () => new EventSource(below(token)) } })
}
