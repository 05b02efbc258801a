import type { Seat, Side } from '../contract/contract'

/** The seats that a phone can have. */
export type SeatName = Exclude<Seat, 'solo' | 'program'>

export const seatNames: SeatName[] = ['clock', 'box', 'book', 'shots', 'voice']

/** A seat, of one side or of both. */
export interface Role {
  seat: SeatName
  side: Side | ''
}

/** An invite with its secrets, which the bench tells once. */
export interface Invite extends Role {
  id: string
  code: string // BCDF-GHJK
  link: string // the address of the QR code
  qr: string // SVG
  expires_ms: number
  caution?: string // what people should know before they use it
}
