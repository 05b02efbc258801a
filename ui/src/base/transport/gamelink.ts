import type { Division, RosterTeam } from '../contract/contract'
import { packed, unpacked } from './packed'

const most = 128 * 1024 // bytes: two rosters and a division have far fewer

/** A game of a schedule in a link, for whoever runs it on a device that keeps no season. */
export interface GameLink {
  schedule: string // the id of the game in its league's schedule
  division: string // how it is played
  own?: Division // where that is none of those that come with the program
  home: RosterTeam
  visitors: RosterTeam
  venue?: string
  date?: string
  slot_end_ms?: number // when its ice ends
}

/** A game as the part of an address behind the #. */
export async function gameLinkOf(game: GameLink): Promise<string> {
  return `#new/${await packed(JSON.stringify(game))}`
}

/** The game that came in an address. Rejects where it is none: links are cut by whoever hands them on. */
export async function gameOfLink(data: string): Promise<GameLink> {
  const read: unknown = JSON.parse(await unpacked(data, most))
  if (!isGame(read)) throw new Error('no game')
  return read
}

function isGame(read: unknown): read is GameLink {
  const { schedule, division, own, home, visitors, venue, date, slot_end_ms: ends } = fields(read)
  return typeof schedule === 'string' && typeof division === 'string' && isTeam(home) && isTeam(visitors)
    && [venue, date].every((one) => one === undefined || typeof one === 'string')
    && (ends === undefined || Number.isSafeInteger(ends)) && (own === undefined || typeof fields(own)['name'] === 'string')
}

function isTeam(read: unknown): read is RosterTeam {
  const { name, players = [], staff = [] } = fields(read)
  return typeof name === 'string' && areAll(players, 'number') && areAll(staff, 'role')
}

/** Whether it is a list of things that each have a text of that name. */
function areAll(read: unknown, name: string): boolean {
  return Array.isArray(read) && read.every((one) => typeof fields(one)[name] === 'string')
}

function fields(read: unknown): Record<string, unknown> {
  return read !== null && typeof read === 'object' ? { ...read } : {}
}
