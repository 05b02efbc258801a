import type { Leaving, Side, State } from '../base/contract/contract'
import type { Now } from './lanes/play'
import { playerName, teamName } from '../base/words/game'
import { t } from '../base/words/words'

/** Somebody who comes out at this moment of play: in a few seconds, now, or at the next whistle. */
export interface DueNow extends Leaving {
  phase: 'soon' | 'now' | 'waits'
  left: number // milliseconds until the gate opens
}

const order: DueNow['phase'][] = ['now', 'soon', 'waits']

/** Everybody who is due, the most pressing first, home before visitors. The book says for how long. */
export function dueNow(state: State, now: Now): DueNow[] {
  if (!now.play) return []
  return (state.due ?? [])
    .filter((one) => one.from_ms <= now.abs && now.abs <= one.until_ms)
    .map((one) => ({ ...one, phase: phaseOf(one, now), left: Math.max(0, one.moment.abs_ms - now.abs) }))
    .sort((a, b) => order.indexOf(a.phase) - order.indexOf(b.phase) || a.moment.abs_ms - b.moment.abs_ms || rank(a.side) - rank(b.side))
}

function phaseOf(one: Leaving, now: Now): DueNow['phase'] {
  if (one.door === 'next_whistle') return 'waits'
  return one.moment.abs_ms > now.abs ? 'soon' : 'now'
}

function rank(side: Side): number {
  return side === 'home' ? 0 : 1
}

/** What stands large: the number, a question mark for somebody whom nobody named, +1 from the bench. */
export function dueNumber(one: Leaving): string {
  return one.sits || (one.door === 'none' ? '+1' : '?')
}

/** Who that is beside the number: the name where it is known, and for whom somebody sits. */
export function duePerson(state: State, one: Leaving): string {
  const whose = one.bench ? t('due.the_bench') : one.player
  if (one.door === 'none') return t('due.from_bench')
  if (one.sits === '') return whose === '' ? t('due.owed') : t('due.whoever', { player: whose })
  return [playerName(state, one.side, one.sits), one.sits === one.player || whose === '' ? '' : t('due.for', { player: whose })].filter(Boolean).join(', ')
}

/** "Kelp Bay 17, home gate; Lanternside 4, visitors' gate": in one line, for a sentence. */
export function dueWords(state: State, list: Leaving[]): string {
  return (['home', 'visitors'] as Side[]).flatMap((side) => {
    const numbers = list.filter((one) => one.side === side).map((one) => (one.door === 'none' ? duePerson(state, one) : one.sits || duePerson(state, one)))
    return numbers.length === 0 ? [] : [t('alert.who', { team: teamName(state, side), numbers: numbers.join(', '), gate: t(`lane.gate.${side}`) })]
  }).join('; ')
}
