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
  division: string // empty: of every division that has a team of this name
  games: TeamGame[]
  now_ms: number
}

/** A game of a team's season. */
export interface SeasonGame {
  id: string
  day?: string // YYYY-MM-DD
  start?: string // by the rink's clock
  rink?: string // of a game that is over; before it where the association shows that
  home: string
  visitors: string
  state: string
  score?: [number, number] // of a game that was sealed
}

/** The season of a team, as a hub tells it: what was sealed, and what is to come. */
export interface TeamSeason {
  today: string
  divisions: {
    id: string
    name: string
    ranked: boolean
    places: { team: string; name: string; place: number; played: number; points: number }[]
    notes: string[]
    games?: SeasonGame[]
  }[]
  left_out: { home: string; visitors: string; day?: string; text: string }[]
}

/** Where a hub answers whoever has the link of a team. */
const below = (token: string) => `/v1/follow/${encodeURIComponent(token)}`

const can = { seats: false, copies: false, pages: false, keeps: false, shares: true }

/** The link of a page to one game at a hub. Nothing can be posted over it. */
export function hubLink(token: string, game: string): Link {
  const at = below(token)
  return {
    can,
    // The time is that of the game's bench, so it is asked below the game.
    fetch: (path, init) => fetch(path.startsWith('/time') ? `${at}/games/${game}${path}` : `${at}${path}`, init),
    listen: (path) => new EventSource(`${at}${path}`),
  }
}

const asks = <T>(address: string) => ask<T>('', undefined, { over: { can, fetch: (_, init) => fetch(address, init), listen: () => new EventSource(address) } })

/** The games of a team. Rejects with Refused or Unreachable. */
export const teamGames = (token: string): Promise<TeamGames> => asks(below(token))

/** The season of a team; rejects with Refused where the association has none. */
export const teamSeason = (token: string): Promise<TeamSeason> => asks(`${below(token)}/season`)
