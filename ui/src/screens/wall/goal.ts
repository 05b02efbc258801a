import type { Side, State } from '../../base/contract/contract'
import { teamName } from '../../base/words/game'
import { t } from '../../base/words/words'

const shownFor = 45_000 // milliseconds for which the last goal stays on the Wall

/** The last goal in words while it is news, or null. `now` is the bench's time. */
export function freshGoal(state: State, now: number): { entry: string; side: Side; words: string } | null {
  const goal = state.goals[state.goals.length - 1]
  if (!goal) return null
  const line = state.lines.find((one) => one.entry === goal.entry)
  // Dated after now: it was entered under another time of day, and is no news.
  if (!line || now - line.wall_ms > shownFor || line.wall_ms - now > shownFor) return null
  const name = (number: string) => {
    const player = state.teams.find((team) => team.side === goal.side)?.players.find((one) => one.number === number)
    return [number, player?.name].filter(Boolean).join(' ')
  }
  const by = t('wall.goal.by', { team: teamName(state, goal.side), player: name(goal.scorer) }).trim()
  const from = goal.assists.filter((one) => one !== '')
  return { entry: goal.entry, side: goal.side, words: from.length > 0 ? `${by} ${t('wall.goal.from', { assists: from.join(', ') })}` : by }
}
