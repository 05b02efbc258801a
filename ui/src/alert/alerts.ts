import type { Reading } from '../clock/reading'
import type { Side, State } from '../contract/contract'
import { barsOf } from '../lanes/bars'
import type { Now } from '../lanes/play'
import { stageName, teamName } from '../words/game'
import { t } from '../words/words'

/** Something that a person at the bench has to do at once. */
export interface Alert {
  key: string // names the alert for as long as it lasts
  text: string
}

const soon = 10_000 // milliseconds before a release at which the gate is made ready
const minute = 60_000
const announced = 8000 // milliseconds for which the last minute is called out
const many = 3 // penalties of one side: the third has to wait

/** The one alert of this moment, or null: whatever opens a gate comes first. */
export function alertOf(state: State, now: Now, reading: Reading): Alert | null {
  if (!now.play) return null
  if (!reading.running) return waiting(state, now)
  return release(state, now) ?? lastMinute(state, reading)
}

/** Whoever comes out within ten seconds, all of one moment together. */
function release(state: State, now: Now): Alert | null {
  const next = state.releases.find((one) => one.door === 'at_end' && one.moment.abs_ms > now.abs)
  if (!next || next.moment.abs_ms - now.abs > soon) return null
  const together = state.releases.filter((one) => one.door === 'at_end' && one.moment.abs_ms === next.moment.abs_ms)
  const who = (['home', 'visitors'] as Side[]).flatMap((side) => {
    const numbers = together.filter((one) => one.side === side).map((one) => one.sits || t('bar.bench'))
    if (numbers.length === 0) return []
    return [t('alert.who', { team: teamName(state, side), numbers: numbers.join(', '), gate: t(`lane.gate.${side}`) })]
  })
  const seconds = Math.ceil((next.moment.abs_ms - now.abs) / 1000)
  return { key: `out/${next.moment.abs_ms}`, text: t('alert.out', { seconds, who: who.join('; ') }) }
}

/** The last minute of a period, which is announced. */
function lastMinute(state: State, { left }: Reading): Alert | null {
  if (left > minute || left <= minute - announced || state.clock.length_ms <= minute) return null
  return { key: `minute/${state.stage.kind}${state.stage.number}`, text: t('alert.minute', { stage: stageName(state.stage) }) }
}

/** At a whistle: a side has three in the box, and the gate must not be opened for all. */
function waiting(state: State, now: Now): Alert | null {
  for (const side of ['home', 'visitors'] as Side[]) {
    const bars = barsOf(state, side, now).filter((bar) => bar.pieces.some((piece) => piece.state === 'running' || piece.state === 'waiting'))
    const waits = bars.filter((bar) => bar.state === 'waiting').map((bar) => bar.sits || bar.number || t('bar.owed'))
    if (bars.length < many || waits.length === 0) continue
    const args = { team: teamName(state, side), count: bars.length, players: waits.join(', ') }
    return { key: `waits/${side}/${waits.join()}`, text: t('alert.waits', args) }
  }
  return null
}
