import type { Report } from '../../base/contract/contract'
import { leftText } from '../../base/words/format'
import { t } from '../../base/words/words'

/** The summary that is read aloud before anybody signs: score, goals by period, penalty minutes, shots. */
export function aloud(report: Report): string {
  const [home, visitors] = [report.teams[0].name, report.teams[1].name]
  const pair = (values: readonly [number | string, number | string]) => ({ home, visitors, first: values[0], second: values[1] })
  const minutes = (side: 0 | 1) => leftText(report.totals.sides[side].penalty_ms).replace(/:00$/, '')
  const parts = [
    t('report.aloud.score', pair(report.score.final)),
    t('report.aloud.periods', { list: report.periods.map((one) => one.goals.join('–')).join(', ') }),
    t('report.aloud.penalties', pair([minutes(0), minutes(1)])),
  ]
  if (report.shots.length > 0) {
    const shots = (side: string) => report.shots.filter((one) => one.side === side).reduce((sum, one) => sum + one.shots, 0)
    parts.push(t('report.aloud.shots', pair([shots('home'), shots('visitors')])))
  }
  const off = report.penalties.filter((one) => one.kind === 'game_misconduct' || one.kind === 'match')
  if (off.length > 0) {
    const list = off.map((one) => `${one.side === 'home' ? home : visitors} ${one.player}`)
    parts.push(t('report.aloud.ejected', { list: [...new Set(list)].join(', ') }))
  }
  return parts.join(' ')
}
