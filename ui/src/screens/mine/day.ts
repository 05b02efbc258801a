import { dateLanguage } from '../../base/words/words'

const form = new Intl.DateTimeFormat(dateLanguage(), { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' })

/** A day as people say it. The days are the rinks', wherever the reader is. */
export function dayOf(day: string): string {
  return form.format(new Date(`${day}T00:00:00Z`))
}
