import type { State } from '../../base/contract/contract'
import { teamName } from '../../base/words/game'
import { t } from '../../base/words/words'
import { bench, type Built, nobody, owed } from './built'
import type { Vocabulary } from './grammar'

/** A call in a few words, such as "Kelp Bay 17 Tripping": for a call that is not posted yet. */
export function inWords(built: Built, state: State, calls: Vocabulary['calls']): string {
  if (built.kind === 'note') return `${t('kind.note')}: ${built.text}`
  if (built.kind === 'delay') return `${t('kind.delay')}: ${t(`delay.${built.why || 'other'}`)}`
  const team = built.side === 'officials' || built.side === '' ? t('side.officials') : teamName(state, built.side)
  if (built.kind === 'time_out') return `${t('kind.time_out')}, ${team}`
  if (built.kind === 'goalkeeper') return `${team}: ${built.who === nobody ? t('keeper.empty') : t('keeper.in', { number: built.who })}`
  const who = built.who === bench ? t('number.bench') : built.who === owed || built.who === '' ? t('bar.owed') : built.who
  if (built.kind === 'goal') return `${t('kind.goal')}, ${team} ${who}`
  return `${team} ${who} ${calls.find((one) => one.id === built.call)?.name ?? t('kind.penalty')}`
}
