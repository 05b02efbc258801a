import { leftText, parseClock } from '../../base/words/format'
import type { Division } from '../../base/contract/contract'
import { api, Refused } from '../../base/transport/api'
import { t } from '../../base/words/words'

const minute = 60_000
const periodsMost = 9
const usualBreak = minute

/** The fields with a time, and the longest that they take. */
const times = {
  warm_up: 60 * minute, minor: 30 * minute, bench_minor: 30 * minute, major: 30 * minute, match: 30 * minute,
  misconduct: 30 * minute, time_out: 10 * minute, overtime: 60 * minute,
} as const
/** The fields with a number, from and to. */
const numbers = {
  skaters: [3, 6], lead_at: [0, 30], time_outs: [0, 9], overtime_skaters: [3, 6], shooters: [0, 20],
} as const

export type TimeField = keyof typeof times
export type NumberField = keyof typeof numbers
type Field = TimeField | NumberField | 'name' | `period_${number}` | `break_${number}`

/** Which field of the form a setting of the file is in. */
const places: Record<string, Field> = {
  name: 'name', periods: 'period_0', intermissions: 'break_0', lengths: 'minor', skaters: 'skaters', overtime: 'overtime',
  each: 'time_outs', lead: 'lead_at', shooters: 'shooters', warm_up: 'warm_up',
}

/** DivisionForm is a division that is being set, as typed. What it does not show stays as in the one that it began from. */
export class DivisionForm {
  name = $state('')
  league = $state('')
  code = $state('')
  periods = $state<string[]>([])
  breaks = $state<string[]>([])
  times = $state<Record<TimeField, string>>({ warm_up: '', minor: '', bench_minor: '', major: '', match: '', misconduct: '', time_out: '', overtime: '' })
  numbers = $state<Record<NumberField, string>>({ skaters: '', lead_at: '', time_outs: '', overtime_skaters: '', shooters: '' })
  report = $state<'elapsed' | 'remaining'>('elapsed')
  source = $state('')
  busy = $state(false)
  /** Faults are shown once somebody wanted to keep it. */
  wanted = $state(false)
  /** What the bench said, and at which field. */
  said = $state.raw<{ field: Field | ''; text: string } | null>(null)

  /** `replace`: the division itself is changed, and not a copy of it. */
  constructor(readonly base: Division, readonly replace: boolean) {
    const { lengths, overtime, time_out: timeOut, shoot_out: shootOut } = base
    const first = overtime.periods[0]
    this.name = replace ? base.name : ''
    this.league = replace ? (base.league ?? '') : ''
    this.code = base.code
    this.periods = base.periods_ms.map(leftText)
    this.breaks = base.intermissions_ms.map(leftText)
    this.times = {
      warm_up: leftText(base.warm_up_ms), minor: leftText(lengths.minor_ms), bench_minor: leftText(lengths.bench_minor_ms),
      major: leftText(lengths.major_ms), match: leftText(lengths.match_ms), misconduct: leftText(lengths.misconduct_ms),
      time_out: leftText(timeOut.length_ms), overtime: first ? leftText(first.length_ms) : '',
    }
    this.numbers = {
      skaters: String(base.skaters), lead_at: String(base.running?.lead ?? 0), time_outs: String(timeOut.each),
      overtime_skaters: String(first?.skaters ?? base.skaters), shooters: String(shootOut.shooters),
    }
    this.report = base.report_times === 'remaining' ? 'remaining' : 'elapsed'
  }

  /** Makes it so many periods; new ones are as long as the last. */
  setCount(count: number): void {
    if (!Number.isInteger(count) || count < 1 || count > periodsMost) return
    const last = this.periods[this.periods.length - 1] ?? '12:00'
    const pause = this.breaks[this.breaks.length - 1] ?? leftText(usualBreak)
    this.periods = Array.from({ length: count }, (_, i) => this.periods[i] ?? last)
    this.breaks = Array.from({ length: count - 1 }, (_, i) => this.breaks[i] ?? pause)
  }

  /** What is wrong, by field, in words. */
  readonly faults: Partial<Record<Field, string>> = $derived.by(() => {
    const found: Partial<Record<Field, string>> = {}
    if (this.name.trim() === '') found.name = t('division.fault.name')
    const look = (field: Field, text: string, least: number, most: number) => {
      const ms = parseClock(text)
      if (ms === null) found[field] = t('division.fault.time')
      else if (ms < least || ms > most) found[field] = t('division.fault.length', { least: leftText(least), most: leftText(most), example: leftText(Math.min(most, 12 * minute)) })
    }
    this.periods.forEach((text, i) => look(`period_${i}`, text, 1000, 60 * minute))
    this.breaks.forEach((text, i) => look(`break_${i}`, text, 0, 60 * minute))
    for (const field of Object.keys(times) as TimeField[]) {
      if (field === 'overtime' && this.times.overtime.trim() === '') continue
      look(field, this.times[field], field === 'warm_up' || field === 'time_out' ? 0 : 1000, times[field])
    }
    for (const field of Object.keys(numbers) as NumberField[]) {
      const [least, most] = numbers[field]
      const text = this.numbers[field].trim()
      const top = field === 'overtime_skaters' ? Math.min(most, Number(this.numbers.skaters) || most) : most
      if (field === 'overtime_skaters' && this.times.overtime.trim() === '') continue
      if (!/^\d{1,2}$/.test(text) || Number(text) < least || Number(text) > top) found[field] = t('division.fault.number', { least, most: top })
    }
    return found
  })

  /** The division as it stands in the form; null while something is wrong with a time or number of it. */
  readonly division: Division | null = $derived.by(() => {
    const { base } = this
    if (Object.keys(this.faults).some((field) => field !== 'name')) return null
    const ms = (text: string) => parseClock(text) ?? 0
    const count = (field: NumberField) => Number(this.numbers[field])
    const lengths = {
      ...base.lengths, minor_ms: ms(this.times.minor), bench_minor_ms: ms(this.times.bench_minor), major_ms: ms(this.times.major),
      match_ms: ms(this.times.match), misconduct_ms: ms(this.times.misconduct),
    }
    const rest = { ...base }
    delete rest.running
    delete rest.report_times
    const lead = count('lead_at')
    return {
      ...rest, name: this.name.trim(), league: this.league.trim(), code: this.code,
      warm_up_ms: ms(this.times.warm_up), periods_ms: this.periods.map(ms), intermissions_ms: this.breaks.map(ms),
      skaters: count('skaters'), lengths, overtime: this.#overtime(ms(this.times.overtime), count('overtime_skaters')),
      shoot_out: { ...base.shoot_out, shooters: count('shooters') },
      time_out: { ...base.time_out, each: count('time_outs'), length_ms: ms(this.times.time_out) },
      ...(lead > 0 ? { running: { ...base.running, lead } } : {}),
      ...(this.report !== (base.report_times ?? 'elapsed') || base.report_times ? { report_times: this.report } : {}),
    }
  })

  /** The overtime of the one that it began from, its first period as typed. */
  #overtime(length: number, skaters: number): Division['overtime'] {
    const { overtime } = this.base
    if (length === 0) return { ...overtime, periods: [] }
    const [first = { length_ms: length, skaters, rest_ms: usualBreak }, ...more] = overtime.periods
    const sudden = overtime.periods.length === 0 ? { sudden_death: true } : {}
    return { ...overtime, ...sudden, periods: [{ ...first, length_ms: length, skaters }, ...more] }
  }

  /** What stands at a field; empty: nothing is wrong with it. */
  at(field: Field): string {
    if (this.said?.field === field) return this.said.text
    return this.wanted ? (this.faults[field] ?? '') : ''
  }

  /** Keeps the division. Resolves to it as it is kept, or to null with the reason said. */
  async keep(): Promise<Division | null> {
    this.wanted = true
    this.said = null
    const { division } = this
    if (!division || Object.keys(this.faults).length > 0) return null
    this.busy = true
    try {
      return await api.keepDivision({ from: this.base.id, division, source: this.source.trim(), replace: this.replace })
    } catch (reason) {
      const text = reason instanceof Refused ? reason.message : t('app.unreachable')
      const field = reason instanceof Refused ? (places[reason.refused[0]?.field ?? ''] ?? '') : ''
      this.said = { field, text }
      return null
    } finally {
      this.busy = false
    }
  }
}
