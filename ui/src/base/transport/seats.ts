import type { Entry } from '../contract/contract'
import { ask } from './api'
import type { Invite, Role } from './seat'

/** An invite that is open, without its secrets. */
interface OpenInvite extends Role {
  id: string
  expires_ms: number
  burnt?: boolean // its code was guessed at too often
}

/** A device that asks to be a seat. */
export interface SeatRequest extends Role {
  id: string
  device: string
  check: string // two digits, shown on the device too
  from: string
  asked_ms: number
}

/** A device that is a seat. */
interface SeatSession extends Role {
  id: string
  device: string
  since_ms: number
  heard_ms: number
  open: number | boolean // streams that are open
  from?: string // the way by which it came last, in words, where there are several
  looks_on?: string // the device that counts in this one's place
}

/** What a device kept when its seat was taken away: a person decides about it. */
interface Handed extends Role {
  id: string
  device: string
  saw: number
  entries: Entry[]
}

export interface SeatList {
  invites: OpenInvite[]
  requests: SeatRequest[]
  sessions: SeatSession[]
  handed: Handed[]
}

/** Who is on duty at a game, and who of them came. */
export interface OnDuty {
  desk: boolean // the crew's desk is kept at this bench
  known: boolean // the desk, or the file that it handed over, has this game
  made: string
  seats: { seat: string; text: string; there: string; name: string; mark: '' | 'came' | 'missed' }[]
  codes: string // what the desk reads
}

/** What the bench does about those on duty. Each rejects with Refused or Unreachable. */
export const dutyApi = {
  list: (game: string) => ask<OnDuty>(`/games/${game}/crew`),
  note: (game: string, seat: string, act: 'came' | 'missed' | 'unmark') => ask<OnDuty>(`/games/${game}/crew`, { seat, act }),
  bring: (file: File) => ask<OnDuty>('/crew/on-duty', file, { method: 'PUT', type: 'application/octet-stream' }),
}

/** What the bench does about seats. Each rejects with Refused or Unreachable. */
export const seatsApi = {
  list: (game: string) => ask<SeatList>(`/games/${game}/seats`),
  invite: (game: string, role: Role) => ask<Invite>(`/games/${game}/invites`, role),
  withdraw: (game: string, id: string) => ask<SeatList>(`/games/${game}/invites/${id}`, undefined, { method: 'DELETE' }),
  approve: (game: string, request: string, role: Role) => ask<SeatList>(`/games/${game}/seats/approve`, { request, ...role }),
  refuse: (game: string, request: string) => ask<SeatList>(`/games/${game}/seats/refuse`, { request }),
  letCount: (game: string, session: string) => ask<SeatList>(`/games/${game}/seats/count`, { session }),
  decide: (game: string, id: string, take: boolean) => ask<SeatList>(`/games/${game}/handed/${id}`, { take }),
  revoke: (game: string, session: string) => ask<SeatList>(`/games/${game}/seats/revoke`, { session }),
}
