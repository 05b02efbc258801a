import type { Part, State } from '../../base/contract/contract'
import { momentText, teamName } from '../../base/words/game'
import { callName, partName, t } from '../../base/words/words'

/** A penalty as people who are not there read it. */
interface PenaltyRow {
  entry: string
  side: 'home' | 'visitors'
  when: string
  who: string
  what: string
  minutes: number
}

/** The penalties of the game, newest first, by number, and by name where names may be shown. */
export function penaltyRows(state: State, period: number): PenaltyRow[] {
  return state.calls.map((call): PenaltyRow => {
    const players = state.teams.find((team) => team.side === call.side)?.players ?? []
    const name = [call.player, players.find((one) => one.number === call.player)?.name].filter(Boolean).join(' ')
    return {
      entry: call.entry,
      side: call.side,
      when: momentText(state, call.moment, period),
      who: t('follow.goal', { team: teamName(state, call.side), player: call.bench ? t('bar.bench') : name || t('bar.owed') }),
      what: [callName(call.call), named(call.parts).map(partName).join(' + ')].filter(Boolean).join(', '),
      minutes: call.charged_ms / 60_000,
    }
  }).reverse()
}

/** The parts by name: two minors are a double minor. */
function named(parts: Part[]): string[] {
  const others = parts.filter((part) => part !== 'minor')
  return parts.length - others.length > 1 ? ['double_minor', ...others] : parts
}
