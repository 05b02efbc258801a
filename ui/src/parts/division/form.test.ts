import { describe, expect, it } from 'vitest'
import { stateAt } from '../../game/fixture'
import { DivisionForm } from './form.svelte'
import '../../base/words/division'

const { division: base } = stateAt(0)
const minute = 60_000

describe('the form for a division', () => {
  it('begins as a copy, under another name', () => {
    const form = new DivisionForm(base, false)
    expect(form.division).toEqual({ ...base, name: '', league: '' })
    expect(Object.keys(form.faults)).toEqual(['name'])
    form.name = ' Under 13 '
    expect(form.faults).toEqual({})
    expect(form.division?.name).toBe('Under 13')
    expect(new DivisionForm(base, true).division).toEqual(base)
  })
  it('takes periods, intermissions, penalties, running time and overtime', () => {
    const form = new DivisionForm(base, true)
    form.setCount(2)
    form.setCount(4)
    form.periods[0] = '15:00'
    form.times.minor = '1:15'
    form.numbers.lead_at = '6'
    form.times.overtime = ''
    form.report = 'remaining'
    expect(form.division).toMatchObject({
      periods_ms: [15 * minute, 12 * minute, 12 * minute, 12 * minute], intermissions_ms: [minute, minute, minute],
      lengths: { minor_ms: 75_000, major_ms: 5 * minute }, running: { lead: 6 }, overtime: { periods: [] }, report_times: 'remaining',
    })
    form.times.overtime = '4:00'
    form.numbers.overtime_skaters = '3'
    expect(form.division?.overtime.periods).toEqual([{ length_ms: 4 * minute, skaters: 3, rest_ms: minute }])
    form.setCount(0)
    form.setCount(10)
    expect(form.periods).toHaveLength(4)
  })
  it('says at each field what is wrong, once it should be kept', async () => {
    const form = new DivisionForm(base, false)
    form.periods[1] = 'soon'
    form.times.minor = '0:00'
    form.numbers.skaters = '7'
    form.numbers.shooters = 'x'
    expect(form.division).toBeNull()
    expect(form.at('minor')).toBe('')
    expect(await form.keep()).toBeNull()
    expect(Object.keys(form.faults).sort()).toEqual(['minor', 'name', 'period_1', 'shooters', 'skaters'])
    expect(form.at('period_1')).toBe('Write minutes and seconds, such as 12:00.')
    expect(form.at('skaters')).toBe('Write a number from 3 to 6.')
    expect(form.at('minor')).toContain('from 0:01 to 30:00')
  })
})
