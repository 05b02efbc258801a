import type { Player } from '../contract/contract'
import { t } from '../words/words'

/** A line of a roster that cannot be read, with what to do about it. */
interface Trouble {
  line: number // from 1
  what: string
}

export interface Roster {
  players: Player[]
  troubles: Trouble[]
}

const most = 60 // players that a ledger takes

const marks: Record<string, keyof Pick<Player, 'goalkeeper' | 'captain' | 'alternate'>> = {
  g: 'goalkeeper', gk: 'goalkeeper', goalie: 'goalkeeper', goalkeeper: 'goalkeeper',
  c: 'captain', a: 'alternate',
}

/**
 * Reads a roster as people type or paste it: "12 Maren Holt C", "1, Ida Brask, G",
 * columns with tabs or semicolons between them, "#7". Empty lines and a heading
 * are passed over; a line that makes no sense is named and the rest is read.
 */
export function parseRoster(text: string): Roster {
  const players: Player[] = []
  const troubles: Trouble[] = []
  const lines = text.split(/\r\n|\r|\n/)
  const trouble = (i: number, what: string) => troubles.push({ line: i + 1, what })
  lines.forEach((raw, i) => {
    const line = raw.trim()
    if (line === '') return
    const player = parsePlayer(line)
    if (!player) {
      if (isHeading(line) && players.length === 0) return
      trouble(i, t('start.roster.number', { text: line.slice(0, 40) }))
    } else if (players.some((one) => one.number === player.number)) {
      trouble(i, t('start.roster.twice', { number: player.number }))
    } else if (players.length === most) {
      trouble(i, t('start.roster.many'))
    } else players.push(player)
  })
  return { players, troubles }
}

function parsePlayer(line: string): Player | null {
  const found = /^(?:#|no\.?\s*)?(\d{1,2})(?!\d)\s*[.:)]?\s*(.*)$/i.exec(line)
  if (!found) return null
  const [, number = '', rest = ''] = found
  const player: Player = { number }
  const words = rest.split(/[\s,;|]+/).filter((word) => word !== '' && word !== '-')
  // The marks stand at the end, or in a column of their own in front of the name: the A of
  // "A Holt" is an initial.
  const column = (rest.split(/[,;|\t]/)[0] ?? '').trim()
  const take = (word: string | undefined) => {
    const mark = marks[(word ?? '').replace(/[()]/g, '').toLowerCase()]
    if (mark === undefined) return false
    player[mark] = true
    return true
  }
  while (words.length > 0 && take(words[words.length - 1])) words.pop()
  if (words.length > 1 && (column === words[0] || words[0]?.startsWith('(')) && take(words[0])) words.shift()
  if (words.length > 0) player.name = words.join(' ').slice(0, 80)
  return player
}

function isHeading(line: string): boolean {
  return /^(#|no\b|nr\b|number\b|jersey\b|player\b|name\b)/i.test(line)
}

/** A roster as text that parseRoster reads back. */
export function rosterText(players: Player[]): string {
  return players
    .map((one) =>
      [one.number, one.name, one.goalkeeper && 'G', one.captain && 'C', one.alternate && 'A'].filter(Boolean).join(' '),
    )
    .join('\n')
}
