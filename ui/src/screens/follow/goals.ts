import type { State } from '../../base/contract/contract'
import { momentText, teamName } from '../../base/words/game'
import { t } from '../../base/words/words'

/** A goal as people who are not there read it. */
interface GoalRow {
  entry: string
  side: 'home' | 'visitors'
  when: string
  who: string
  assists: string
  score: string // empty where the division does not show it
}

/** The goals of the game, newest first, by number, and by name where names may be shown. */
export function goalRows(state: State, period: number): GoalRow[] {
  const { no_score: noScore, no_scorers: noScorers, lead_at_most: cap = 0 } = state.division.display ?? {}
  if (noScore) return []
  return state.goals.map((goal): GoalRow => {
    const players = state.teams.find((team) => team.side === goal.side)?.players ?? []
    const name = (number: string) =>
      number === '' ? t('bar.owed') : [number, players.find((one) => one.number === number)?.name].filter(Boolean).join(' ')
    const capped = cap > 0 && Math.abs(goal.score[0] - goal.score[1]) > cap
    return {
      entry: goal.entry,
      side: goal.side,
      when: momentText(state, goal.moment, period),
      who: noScorers ? teamName(state, goal.side) : t('follow.goal', { team: teamName(state, goal.side), player: name(goal.scorer) }),
      assists: noScorers || goal.assists.length === 0 ? '' : t('follow.assists', { assists: goal.assists.map(name).join(', ') }),
      score: capped ? '' : goal.score.join('–'),
    }
  }).reverse()
}
