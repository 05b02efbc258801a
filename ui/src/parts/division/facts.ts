import '../../base/words/division'
import { leftText } from '../../base/words/format'
import type { Division } from '../../base/contract/contract'
import { t } from '../../base/words/words'

/** What a division does to a game, in sentences: periods, intermissions, minors, running time. */
export function divisionFacts(division: Division): string {
  return [
    t('start.division.facts', { periods: lengths(division.periods_ms), minor: leftText(division.lengths.minor_ms), skaters: division.skaters }),
    division.intermissions_ms.length > 0 ? t('start.division.breaks', { breaks: lengths(division.intermissions_ms) }) : '',
    runningFacts(division),
  ].filter(Boolean).join(' ')
}

/** "3 × 12:00", or each length where they differ. */
function lengths(list: number[]): string {
  const [first = 0] = list
  if (list.every((one) => one === first)) return t('start.division.times', { count: list.length, length: leftText(first) })
  return list.map(leftText).join(', ')
}

function runningFacts({ running, clock, periods_ms }: Division): string {
  const facts: string[] = []
  if (clock?.running) {
    const only = clock.running_periods ?? []
    facts.push(only.length === 0 || only.length === periods_ms.length ? t('start.division.runs') : t('start.division.runs_in', { periods: only.join(', ') }))
  }
  const lead = running?.lead ?? 0
  if (lead > 0 && running?.ends_game) facts.push(t('start.division.ends', { lead }))
  else if (lead > 0) facts.push(t('start.division.running', { lead, from: Math.max(1, lead - 3), to: Math.max(1, lead - 2) }))
  return facts.length > 0 ? facts.join(' ') : t('start.division.stop')
}
