import '../../base/words/opened'
import type { AmendedBody, At, State } from '../../base/contract/contract'
import { baseAndExtras } from '../call/built'
import { leftText } from '../../base/words/format'
import { periodShort, teamName } from '../../base/words/game'
import { callName, partName, t } from '../../base/words/words'

/** What a version of an entry says, with everything that can be amended; empty for a kind that has no such words. */
export function versionWords(says: AmendedBody, state: State): string {
  switch (says.kind) {
    case 'goal': {
      const { side, scorer, assists = [], unassisted, empty_net: emptyNet, on } = says.body
      return [
        t('history.goal', { team: teamName(state, side), player: scorer || t('bar.owed') }),
        assists.length > 0 ? t('history.from', { players: assists.map((one) => one || t('bar.owed')).join(', ') }) : '',
        unassisted ? t('goal.unassisted') : '',
        emptyNet ? t('goal.empty_net') : '',
        on ? t(on === 'awarded' ? 'goal.awarded' : 'goal.penalty_shot') : '',
      ].filter(Boolean).join(', ')
    }
    case 'penalty': {
      const { side, player, bench, call, parts, served_by: sits, signalled } = says.body
      const { base, extras } = baseAndExtras(parts)
      return [
        t('history.who', { team: teamName(state, side), player: bench ? t('bar.bench') : player || t('bar.owed') }),
        call ? callName(call) : '',
        [base, ...extras].filter(Boolean).map(partName).join(' + '),
        sits ? t('bar.serves', { number: sits }) : '',
        signalled ? t('call.signalled') : '',
      ].filter(Boolean).join(', ')
    }
    case 'time_out':
      return t('history.who', { team: t('kind.time_out'), player: says.body.side ? teamName(state, says.body.side) : t('side.officials') })
    case 'note':
      return says.body.text
    default:
      return ''
  }
}

/** When in the game an entry is, such as "5:13 of the 2nd"; empty outside of the periods. */
export function momentWords(at: At, state: State): string {
  const span = state.periods.find((one) => one.period === at.period)
  if (!span) return ''
  return t('moment.other', { time: leftText(span.length_ms - at.elapsed_ms), period: periodShort(state, at.period) })
}
