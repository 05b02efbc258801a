import type { PracticeDay } from '../../base/contract/contract'
import { dateLanguage } from '../../base/words/words'

const length = 86_400_000 // milliseconds of a day
const first = Date.UTC(2020, 0, 1)

/** The day of an instant where this device stands. */
export function dayOf(instant: Date): PracticeDay {
  return Math.round((Date.UTC(instant.getFullYear(), instant.getMonth(), instant.getDate()) - first) / length)
}

export function today(): PracticeDay {
  return dayOf(new Date())
}

/** A day as people read it, such as "25 Nov 2026": the month is a word, so that nobody takes it for the day. */
export function dayText(day: PracticeDay): string {
  const words = new Intl.DateTimeFormat(dateLanguage(), { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' })
  return words.format(first + day * length)
}

/** A day as files are named by it, such as "2026-11-25". */
export function dayStamp(day: PracticeDay): string {
  return new Date(first + day * length).toISOString().slice(0, 10)
}
