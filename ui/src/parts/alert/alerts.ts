import type { Reading } from '../../game/clock/reading'
import type { Side, State } from '../../base/contract/contract'
import { dueNow, dueWords } from '../../game/due'
import { barsOf } from '../../game/lanes/bars'
import type { Now } from '../../game/lanes/play'
import { stageName, teamName } from '../../base/words/game'
import { t } from '../../base/words/words'

/** Something that a person at the bench has to do at once. */
export interface Alert {
  key: string // names the alert for as long as it lasts
  text: string
}

const minute = 60_000
const announced = 8000 // milliseconds for which the last minute is called out
const many = 3 // penalties of one side: the third has to wait

/** The one alert of this moment, or null: whatever opens a gate comes first. */
export function alertOf(state: State, now: Now, reading: Reading): Alert | null {
  if (!now.play) return null
  if (!reading.running) return waiting(state, now)
  return release(state, now) ?? lastMinute(state, reading)
}

/** Whoever comes out within ten seconds, all of one moment together, and then: now. */
function release(state: State, now: Now): Alert | null {
  const due = dueNow(state, now)
  const out = due.filter((one) => one.phase === 'now')
  const soon = due.filter((one) => one.phase === 'soon' && one.door === 'at_end')
  const first = soon[0]
  if (first) {
    const together = soon.filter((one) => one.moment.abs_ms === first.moment.abs_ms)
    return { key: `out/${first.moment.abs_ms}`, text: t('alert.out', { seconds: Math.ceil(first.left / 1000), who: dueWords(state, together) }) }
  }
  const newest = out[out.length - 1]
  return newest ? { key: `out/${newest.moment.abs_ms}`, text: t('alert.now', { who: dueWords(state, out) }) } : null
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
