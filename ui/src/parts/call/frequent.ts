import type { Line } from '../../base/contract/contract'

/** How often each call was made, by its id. */
export type Tally = Record<string, number>

/** The tallies of the games of one division that this bench has seen, the oldest first. */
export type Games = [game: string, tally: Tally][]

const most = 40 // games that count: what a season ago was frequent need not be now
const last = 'other' // it stands at the end however often it was used

/** The calls of a game that counts, without those that were taken back. */
export function tallyOf(lines: Line[]): Tally {
  const tally: Tally = {}
  for (const line of lines) {
    if (line.kind !== 'penalty' || line.struck || !line.body.call) continue
    tally[line.body.call] = (tally[line.body.call] ?? 0) + 1
  }
  return tally
}

/** All games but one together: buttons do not change places in the middle of a game. */
export function countsWithout(games: Games, game: string): Tally {
  const sum: Tally = {}
  for (const [id, tally] of games) {
    if (id === game) continue
    for (const [call, count] of Object.entries(tally)) sum[call] = (sum[call] ?? 0) + count
  }
  return sum
}

/** The games with this one's tally as it is now. */
export function withGame(games: Games, game: string, tally: Tally): Games {
  const others = games.filter(([id]) => id !== game)
  return Object.keys(tally).length === 0 ? others : [...others, [game, tally] satisfies Games[number]].slice(-most)
}

/** The most frequent calls first; what was counted equally often, or never, stays in the order of the book. */
export function byFrequency<T extends { id: string }>(calls: T[], counts: Tally): T[] {
  const rank = ({ id }: T) => (id === last ? -1 : (counts[id] ?? 0))
  return calls.map((call, i) => ({ call, i })).sort((a, b) => rank(b.call) - rank(a.call) || a.i - b.i).map(({ call }) => call)
}

type Shelf = Pick<Storage, 'getItem' | 'setItem'>
const place = (division: string) => `whistlestop.calls.${division}`

/** What was counted on this device for a division; nothing where it cannot be read. */
export function countedGames(division: string, shelf: Shelf): Games {
  try {
    const kept = JSON.parse(shelf.getItem(place(division)) ?? '[]') as unknown
    if (!Array.isArray(kept)) return []
    return kept.filter((one): one is Games[number] => Array.isArray(one) && typeof one[0] === 'string' && isTally(one[1]))
  } catch {
    return []
  }
}

function isTally(what: unknown): what is Tally {
  return typeof what === 'object' && what !== null && Object.values(what).every((count) => Number.isInteger(count))
}

/** Counts a game of a division, or counts it anew. */
export function countGame(division: string, game: string, lines: Line[], shelf: Shelf): void {
  const before = countedGames(division, shelf)
  const after = withGame(before, game, tallyOf(lines))
  if (JSON.stringify(before) === JSON.stringify(after)) return
  try {
    shelf.setItem(place(division), JSON.stringify(after))
  } catch {
    // No room, or forbidden: the order of the book stays.
  }
}
