import { ask } from './api'
import type { Duty, Family, Span } from './crew'

export interface MineDuty extends Duty {
  with: string[]
}

/** When somebody can. */
export interface Can {
  days: string[]
  away: Span[]
  not_before: string
  day_most: number
  most: number
  far: string[]
  rinks: { id: string; name: string }[]
}

/** Where reminders go, as a browser gives it. */
export interface Device {
  endpoint: string
  p256dh: string
  auth: string
}

/** A question whether two people change places. */
export interface Swap {
  mine: Duty // that the reader would give
  other: Duty // that they would get, with the short name of whoever has it
  asked: boolean // by the reader
}

/** What somebody does on their page. */
export interface Act {
  do: string
  game?: string
  seat?: string
  with_game?: string
  with_seat?: string
  can?: Can
  device?: Device
}

/** What somebody sees of their own. */
export interface Mine {
  elsewhere?: string // the same page at the desk that took this one over; the rest is empty then
  first: string
  duties: MineDuty[]
  past: MineDuty[]
  others: MineDuty[]
  swaps: Swap[]
  whole: boolean
  can: Can
  league: string
  today: string
  asked: boolean
  practise: '' | 'clock' | 'box' | 'book' // the seat to practise next
  mail: '' | 'yes' | 'left' // they get letters; they want none; empty: none are sent to them
  push: string // the key to which a device binds itself for reminders; empty: there are none here
  devices: string[] // ids of their devices that have reminders on
  family: Family
  stay: { season: string; by: string; status: 'waiting' | 'yes' | 'no' | '' }
  said?: string
}

/** The questions of a page that a link opens. The token comes from behind the # of the address, which no server is told. */
export const mineApi = {
  mine: (token: string) => ask<Mine>(`/crew/mine/${encodeURIComponent(token)}`),
  act: (token: string, what: Act) => ask<Mine>(`/crew/mine/${encodeURIComponent(token)}`, what, { within: 20_000 }),
  /** With whom the reader could change places. */
  swaps: (token: string, game: string, seat: string) =>
    ask<{ swaps: Duty[] }>(`/crew/mine/${[token, 'swaps', game, seat].map(encodeURIComponent).join('/')}`, undefined, { within: 20_000 }).then((it) => it.swaps),
  team: (token: string) => ask<{ team: string; league: string; duties: Duty[]; elsewhere?: string }>(`/crew/team/${encodeURIComponent(token)}`),
}
