import type { Adds, BehindEntry, BehindGame, Counted, FigureCount, Leaders, LineWhy } from '../../base/transport/season'
import { elapsedText } from '../../base/words/format'
import { stageName } from '../../base/words/game'
import { t } from '../../base/words/words'

/** A column of a table, or of the figures, whose numbers can be asked why. */
export type LineColumn = Adds | 'place' | 'goals'

/** Which of the counted figures a column of the figures is made of. */
const madeOf: Record<string, string[]> = {
  points: ['goals', 'assists'],
  wins: ['won'],
  losses: ['lost'],
  saved: ['shots', 'against'],
  average: ['against'],
}

/** What of somebody's counts stands behind one column. */
export function countsOf(column: string, counts: FigureCount[]): FigureCount[] {
  const figures = madeOf[column] ?? [column]
  return counts.filter((one) => figures.includes(one.figure))
}

/** The games of a line that add to a column; behind a place stand all that the steps looked at, or all. */
export function gamesOf(column: LineColumn, why: LineWhy): Counted[] {
  if (column === 'place') {
    const looked = new Set(why.ties.flatMap((tie) => tie.games))
    return looked.size === 0 ? why.games : why.games.filter((one) => looked.has(one.game))
  }
  if (column === 'goals') return why.games
  return why.games.filter((one) => one[column] !== 0)
}

/** Whether the league counts other goals than were scored. */
export function isCut(game: BehindGame, team: string, counted: Counted): boolean {
  const [own, other] = game.home === team ? game.goals : [game.goals[1], game.goals[0]]
  return counted.for !== own || counted.against !== other
}

/** When an entry was, and what it says. */
export function entryText(entry: BehindEntry): string {
  const when = entry.stage ? t('season.behind.moment', { stage: stageName(entry.stage), time: elapsedText(entry.elapsed_ms) }) : ''
  return [when, entry.text ?? ''].filter((text) => text !== '').join(': ')
}

/** Whose games and entries stand behind a leader's number. Guests are shown the number of the last of somebody's teams. */
export function leaderOf(one: Leaders['rows'][number], division: string): { who?: string; name: string; team: string; division: string; all: boolean } {
  return { ...(one.who ? { who: one.who } : {}), name: one.name, team: one.teams.at(-1) ?? '', division, all: one.teams.length > 1 }
}
