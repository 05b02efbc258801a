import type { Duty } from '../../base/transport/crew'
import { dateLanguage, t } from '../../base/words/words'

const form = new Intl.DateTimeFormat(dateLanguage(), { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' })

/** A day as people say it. The days are the rinks', wherever the reader is. */
export function dayOf(day: string): string {
  return form.format(new Date(`${day}T00:00:00Z`))
}

/** A duty in a line. */
export function saidOf(one: Duty): string {
  return t('mine.swap.duty', { day: dayOf(one.day), there: one.there, rink: one.rink, seat: one.text, teams: one.teams })
}
