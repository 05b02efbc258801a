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

/** What somebody sees of their own. */
export interface Mine {
  first: string
  duties: MineDuty[]
  past: MineDuty[]
  others: MineDuty[]
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
  act: (token: string, what: { do: string; game?: string; seat?: string; can?: Can; device?: Device }) => ask<Mine>(`/crew/mine/${encodeURIComponent(token)}`, what, { within: 20_000 }),
  team: (token: string) => ask<{ team: string; league: string; duties: Duty[] }>(`/crew/team/${encodeURIComponent(token)}`),
}
