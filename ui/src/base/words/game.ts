import type { DelayWhy, Moment, Side, Stage, State } from '../contract/contract'
import { elapsedText, leftText } from './format'
import { capital, say, t, tOf } from './words'

/** "2nd": the number of a period or overtime as people say it. */
function ordinal(n: number): string {
  return tOf(`ordinal.${n}`, String(n))
}

/** The name of a stage, such as "2nd period" or "1st intermission". */
export function stageName(stage: Stage): string {
  return capital(say({ key: stage.number ? `stage.${stage.kind}.${stage.number}` : `stage.${stage.kind}` }))
}

/** What a button that begins the stage says. */
export function beginName(stage: Stage): string {
  if (stage.kind === 'over') return t('next.over')
  return t('next.begin', { stage: lower(stageName(stage)) })
}

/** The period of a moment in short, such as "2nd" or "overtime". */
export function periodShort(state: State, period: number): string {
  const span = state.periods.find((one) => one.period === period)
  if (span?.stage.kind === 'overtime') {
    const number = span.stage.number ?? 1
    return number === 1 ? t('period.overtime') : t('period.overtime.later', { ordinal: ordinal(number) })
  }
  return ordinal(period)
}

/**
 * A moment as the game clock will show it: "9:12" in the period `current`,
 * "11:20 of the 2nd" in another one.
 */
export function momentText(state: State, moment: Moment, current: number): string {
  const time = leftText(moment.left_ms)
  if (moment.period === current || moment.period === 0) return time
  return t('moment.other', { time, period: periodShort(state, moment.period) })
}

/** The name of a side's team, or of the side while the team has no name. */
export function teamName(state: State, side: Side): string {
  const team = state.teams.find((one) => one.side === side)
  return team?.name || t(`side.${side}`)
}

/** The name of a side's player with that number; empty where nobody knows it, or where it may not be shown. */
export function playerName(state: State, side: Side | '', number: string): string {
  return state.teams.find((one) => one.side === side)?.players.find((one) => one.number === number)?.name ?? ''
}

/** A delay with its clock, such as "Delay, injury: 1:23". */
export function delayWords(delay: { why: DelayWhy; ms: number; up: boolean }): string {
  const shown = delay.up ? elapsedText(delay.ms) : leftText(delay.ms)
  return t(delay.up ? 'delay.running' : 'delay.left', { why: lower(t(`delay.${delay.why}`)), time: shown })
}

function lower(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1)
}
