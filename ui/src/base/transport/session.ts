import type { Side } from '../contract/contract'
import { ask } from './api'
import { type Link, network } from './link'
import { type SeatName, seatNames } from './seat'

/** What this device is to the bench. */
export interface Session {
  here: boolean // it is the computer that the bench runs on
  seat: SeatName | ''
  side: Side | '' // of the Box seat; empty for both
  game: string
  device: string
  looks_on?: string // the device that counts in this one's place
}

/** Asks the bench what this device is. */
export function readSession(over: Link = network): Promise<Session> {
  return ask<Session>('/session', undefined, { over })
}

/** Gives the seat of this device back. */
export async function leaveSeat(): Promise<void> {
  await ask<object>('/session', undefined, { method: 'DELETE' })
}

/** The same for a page of the bench's own computer, which may show any seat: its address says which. */
export function sessionFrom(session: Session, query: URLSearchParams, game: string): Session {
  const seat = seatNames.find((one) => one === query.get('seat'))
  if (!session.here || !seat) return session
  const side = query.get('side')
  return { ...session, seat, side: side === 'home' || side === 'visitors' ? side : '', game: query.get('game') ?? game }
}
