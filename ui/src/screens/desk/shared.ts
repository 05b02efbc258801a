import { Refused } from '../../base/transport/api'
import { dateLanguage, t } from '../../base/words/words'

/** Why something of the desk did not come, or was not kept. */
export function whyNot(reason: unknown): string {
  return reason instanceof Refused ? reason.message : t('desk.unreachable')
}

const form = new Intl.DateTimeFormat(dateLanguage(), { weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' })

/** A day as people say it. The days are the rinks', wherever the reader is. */
export function dayOf(day: string): string {
  return form.format(new Date(`${day}T00:00:00Z`))
}

const brief = new Intl.DateTimeFormat(dateLanguage(), { day: 'numeric', month: 'short', timeZone: 'UTC' })

/** A day without its weekday, where every day is the same one. */
export function dateOf(day: string): string {
  return brief.format(new Date(`${day}T00:00:00Z`))
}

/** The day so many days later. */
export function later(day: string, days: number): string {
  const at = new Date(`${day}T00:00:00Z`)
  at.setUTCDate(at.getUTCDate() + days)
  return at.toISOString().slice(0, 10)
}
