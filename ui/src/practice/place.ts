import type { Pace, Seat } from '../base/contract/contract'
import { paces } from './pace'

/** The seats that can be practised. */
const seats: Seat[] = ['solo', 'clock', 'box', 'book']

/** A place of the practice site, as the address has it behind the #. */
export type Place =
  | { page: 'menu'; seat?: Seat } // with a seat it is chosen: the link of somebody's next duty
  | { page: 'coordinator' }
  | { page: 'console'; card: string; part: 'form' | 'drills' }
  | { page: 'card'; data: string } // a rink card that came in the address
  | { page: 'ours'; data: string } // an association's cards, divisions and scripts that came in the address
  | { page: 'game'; game: string; on: '' | 'report' } // a real one; without an id the list of them
  | { page: 'new'; data: string } // the list of games, by the link of a game of a schedule
  | { page: 'pair'; secret: string } // the list of games, by the link of a hub that this site comes from
  | { page: 'join'; data: string } // this device is to be a seat of a bench in another browser; what the bench's code says
  | { page: 'hub'; at: string; mark: string; token: string } // the same by way of the hub: its room, or a short code that leads to one
  | { page: 'wall'; game: string } // of a real one, in a window of its own
  | { page: 'play'; script: string; seat: Seat; pace: Pace }

/** Reads the part of the address behind the #, which people may have shortened or mistyped: then it is the menu. */
export function placeOf(hash: string): Place {
  const [page = '', script = '', seat = 'solo', pace = 'fast'] = hash.replace(/^#/, '').split('/').map(decoded)
  if (page === 'coordinator') return { page }
  const wanted = seats.find((one) => one === script)
  if (page === 'seat' && wanted) return { page: 'menu', seat: wanted }
  if (page === 'console') return { page, card: script, part: seat === 'drills' ? 'drills' : 'form' }
  if ((page === 'card' || page === 'ours' || page === 'new') && script !== '') return { page, data: script }
  if (page === 'game') return { page, game: /^\w{26}$/.test(script) ? script : '', on: seat === 'report' ? 'report' : '' }
  if (page === 'pair' && script !== '') return { page, secret: script }
  if (page === 'join') return { page, data: script }
  if (page === 'hub') {
    const [, , mark = '', token = ''] = hash.split('/')
    return { page, at: script, mark, token }
  }
  if (page === 'wall' && /^\w{26}$/.test(script)) return { page, game: script }
  const found = { seat: seats.find((one) => one === seat), pace: paces.find((one) => one === pace) }
  if (page !== 'play' || script === '' || !found.seat || !found.pace) return { page: 'menu' }
  return { page, script, seat: found.seat, pace: found.pace }
}

/** Whether a place needs the engine of practice. The others are of real games. */
export function practises({ page }: Place): boolean {
  return !['game', 'new', 'pair', 'join', 'hub', 'wall'].includes(page)
}

export function hashOf(place: Place): string {
  if (place.page === 'menu') return place.seat === undefined ? '#' : `#seat/${place.seat}`
  if (place.page === 'coordinator') return '#coordinator'
  if (place.page === 'console') return place.card === '' ? '#console' : `#console/${encodeURIComponent(place.card)}/${place.part}`
  if (place.page === 'pair') return `#pair/${place.secret}`
  if (place.page === 'join') return place.data === '' ? '#join' : `#join/${place.data}`
  if (place.page === 'hub') return ['#hub', place.at, place.mark, place.token].filter((part) => part !== '').join('/')
  if (place.page === 'card' || place.page === 'ours' || place.page === 'new') return `#${place.page}/${place.data}`
  if (place.page === 'wall') return `#wall/${place.game}`
  if (place.page === 'game') return ['#game', place.game, place.on].filter((part) => part !== '').join('/')
  return `#play/${encodeURIComponent(place.script)}/${place.seat}/${place.pace}`
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part)
  } catch {
    return part
  }
}
