import type { Stage, State } from '../base/contract/contract'
import { leftText } from '../base/words/format'
import { stageName } from '../base/words/game'
import { t } from '../base/words/words'

const nearly = 10_000 // milliseconds: a break or a period that is as good as over needs no question

/** What the clock says, as far as a step to the next stage is concerned. */
interface ClockNow {
  left: number // milliseconds
  length: number
}

/**
 * What is unusual about a step to another stage, in sentences; none for a step
 * in its order at its time. The step can be taken all the same, and undone.
 */
export function unusualStep(state: State, to: Stage, clock: ClockNow): string[] {
  const { stage } = state
  const says: string[] = []
  const play = stage.kind === 'period' || stage.kind === 'overtime'
  const decided = state.hold.some((item) => item.key === 'decided')
  const name = stageName(stage)
  if (clock.length > 0 && clock.left > nearly && !decided && (play || stage.kind === 'intermission')) {
    says.push(t('unusual.left', { stage: name, left: leftText(clock.left) }))
  }
  const begun = state.periods.filter((one) => one.begun).length
  const { length } = state.division.periods_ms
  if (to.kind === 'over' && begun < length) says.push(t('unusual.periods', { begun, length }))
  const [home, visitors] = state.teams
  if (to.kind === 'over' && begun >= length && home.score === visitors.score && state.next.length > 1) {
    says.push(t('unusual.tied', { score: `${home.score}-${visitors.score}` }))
  }
  if (to.kind === 'period' && stage.kind === 'period' && (state.division.intermissions_ms[(stage.number ?? 1) - 1] ?? 0) > 0) {
    says.push(t('unusual.no_break', { stage: stageName({ kind: 'intermission', number: stage.number }) }))
  }
  return says
}
