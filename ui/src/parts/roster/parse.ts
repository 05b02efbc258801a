import '../../base/words/setup'
import type { Official, Player, PlayerStatus, Position, Role } from '../../base/contract/contract'
import { sameNumber } from '../../game/number'
import { t } from '../../base/words/words'

/** A line of a roster that cannot be read, with what to do about it. */
interface Trouble {
  line: number // from 1
  what: string
}

export interface Roster {
  players: Player[]
  staff: Official[]
  troubles: Trouble[]
}

const most = 60 // players that a ledger takes

const marks: Record<string, keyof Pick<Player, 'goalkeeper' | 'captain' | 'alternate'>> = {
  g: 'goalkeeper', gk: 'goalkeeper', goalie: 'goalkeeper', goalkeeper: 'goalkeeper',
  c: 'captain', a: 'alternate',
}

// What a word says beside the name: G, D and F where somebody plays, small words whether they do.
const positions: Record<string, Position> = { d: 'defence', defence: 'defence', defense: 'defence', f: 'forward', forward: 'forward' }
const statuses: PlayerStatus[] = ['absent', 'late', 'suspended', 'affiliate']
const staffRoles: Record<string, Role> = {
  'head coach': 'head_coach', coach: 'coach', 'assistant coach': 'coach', manager: 'manager', 'team manager': 'manager',
  trainer: 'trainer', physio: 'trainer',
}

/**
 * Reads a roster as people type or paste it: "12 Maren Holt C", "1, Ida Brask, G",
 * columns with tabs or semicolons between them, "#7". Empty lines and a heading
 * are passed over; a line that makes no sense is named and the rest is read.
 */
export function parseRoster(text: string): Roster {
  const players: Player[] = []
  const staff: Official[] = []
  const troubles: Trouble[] = []
  const lines = text.split(/\r\n|\r|\n/)
  const trouble = (i: number, what: string) => troubles.push({ line: i + 1, what })
  lines.forEach((raw, i) => {
    const line = raw.trim()
    if (line === '') return
    const person = parseStaff(line)
    if (person) {
      staff.push(person)
      return
    }
    const player = parsePlayer(line)
    if (!player) {
      if (isHeading(line) && players.length === 0) return
      trouble(i, t('start.roster.number', { text: line.slice(0, 40) }))
    } else if (players.some((one) => sameNumber(one.number, player.number))) {
      trouble(i, t('start.roster.twice', { number: player.number }))
    } else if (players.length === most) {
      trouble(i, t('start.roster.many'))
    } else players.push(player)
  })
  return { players, staff, troubles }
}

function parsePlayer(line: string): Player | null {
  const found = findNumber(line)
  if (!found) return null
  const { number, rest, letter } = found
  const player: Player = { number }
  if (letter !== '') mark(player, letter)
  const words = rest.split(/[\s,;|]+/).filter((word) => word !== '' && word !== '-')
  // The marks stand at the end, or in a column of their own in front of the name: the A of
  // "A Holt" is an initial, that of "A Maren Holt" is a mark.
  const column = (rest.split(/[,;|\t]/)[0] ?? '').trim()
  const take = (word: string | undefined) => mark(player, (word ?? '').replace(/[()[\]]/g, ''))
  while (words.length > 0 && take(words[words.length - 1])) words.pop()
  const inFront = () => column === words[0] || /^[([]/.test(words[0] ?? '') || (words.length > 2 && /^[ACG]$/.test(words[0] ?? ''))
  while (words.length > 1 && inFront() && take(words[0])) words.shift()
  if (words.length > 0) player.name = words.join(' ').slice(0, 80)
  return player
}

/** Notes what a word says beside the name; false where it says nothing. */
function mark(player: Player, word: string): boolean {
  const said = word.toLowerCase()
  const known = marks[said]
  const status = statuses.find((one) => one === said)
  if (known !== undefined) player[known] = true
  else if (positions[said] !== undefined) player.position = positions[said]
  else if (status !== undefined) player.status = status
  else return false
  return true
}

const numberWord = String.raw`(?:#|[Nn][Oo]\.?\s*)?(\d{1,2})(?!\d)`
const letterWord = String.raw`[([]?([AC])[)\]]?`

/** The number of a line, in front or at the end, with a mark on either side of it; what is left is the name. */
function findNumber(line: string): { number: string; rest: string; letter: string } | null {
  const front = new RegExp(String.raw`^(?:${letterWord}[\s,;|]*)?${numberWord}(?:\s*${letterWord}(?=[\s,;|]|$)(?!\s+\S+$))?\s*[.:)]?\s*(.*)$`).exec(line)
  if (front) {
    const [, before = '', number = '', behind = '', rest = ''] = front
    return { number, rest, letter: before || behind }
  }
  const end = new RegExp(String.raw`^(\D+?)[\s,;|]+(?:${letterWord}[\s,;|]+)?${numberWord}(?:[\s,;|]*${letterWord})?$`).exec(line)
  if (!end) return null
  const [, rest = '', before = '', number = '', behind = ''] = end
  return { number, rest, letter: before || behind }
}

/** Somebody of the staff: "Head coach: Mara Varga". */
function parseStaff(line: string): Official | null {
  const [said = '', name = ''] = line.split(/:(.*)/)
  const role = staffRoles[said.trim().toLowerCase()]
  return role && name.trim() !== '' ? { role, name: name.trim().slice(0, 80) } : null
}

function isHeading(line: string): boolean {
  return /^(#|no\b|nr\b|number\b|jersey\b|player\b|name\b)/i.test(line)
}

/** Whether a line of the text can name somebody of this role. */
export function writable(role: Role): boolean {
  return Object.values(staffRoles).includes(role)
}

/** A roster as text that parseRoster reads back. */
export function rosterText(players: Player[], staff: Official[] = []): string {
  const lines = players.map((one) =>
    [
      one.number, one.name, one.position && { goalkeeper: 'G', defence: 'D', forward: 'F' }[one.position],
      one.goalkeeper && one.position !== 'goalkeeper' && 'G', one.captain && 'C', one.alternate && 'A', one.status,
    ].filter(Boolean).join(' '),
  )
  const named = Object.entries(staffRoles)
  for (const { role, name } of staff) {
    const word = named.find(([, one]) => one === role)?.[0]
    if (word !== undefined) lines.push(`${word.charAt(0).toUpperCase()}${word.slice(1)}: ${name}`)
  }
  return lines.join('\n')
}
