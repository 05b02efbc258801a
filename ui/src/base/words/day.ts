import { dateLanguage } from './words'

const written = new Map<string, Intl.DateTimeFormat>() // by language: making one is slow

/** A day as people say it. The days are the rinks', wherever the reader is. */
export function dayText(day: string): string {
  const language = dateLanguage()
  const asDay = written.get(language) ?? new Intl.DateTimeFormat(language, { weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' })
  written.set(language, asDay)
  return asDay.format(new Date(`${day}T00:00:00Z`))
}
