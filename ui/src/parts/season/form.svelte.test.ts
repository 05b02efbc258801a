import { describe, expect, it } from 'vitest'
import { clockTime, read, written, type Field } from './field'
import { Draft } from './form.svelte'
import { awayLines, teamLines, teamsOf, withAway } from './teams'

const name: Field = { key: 'name', kind: 'text' }
const start: Field = { key: 'start', kind: 'list' }
const hours: Field = { key: 'hours', kind: 'number' }
const settings = [
  { table: '', at: 0, key: 'name', value: '"Harbour League"' },
  { table: 'ice', at: 1, key: 'start', value: '["09:00","10:30"]' },
  { table: 'hand_in', at: 0, key: 'hours', value: '48' },
]

describe('the league file as a form', () => {
  it('shows what the file has, and changes only what was changed', () => {
    const draft = new Draft(settings)
    expect(draft.shown('ice', 1, start)).toBe('09:00, 10:30')
    expect(draft.rows('ice')).toEqual([0, 1])
    draft.type('', 0, name, ' Harbour ')
    draft.type('ice', 1, start, '09:00,11:00,')
    draft.type('hand_in', 0, hours, '')
    expect(draft.edits()).toEqual([
      { table: '', at: 0, key: 'name', value: '"Harbour"' },
      { table: 'ice', at: 1, key: 'start', value: '["09:00","11:00"]' },
      { table: 'hand_in', at: 0, key: 'hours', remove: true },
    ])
    draft.type('', 0, name, 'Harbour League')
    draft.type('hand_in', 0, hours, '48')
    expect(draft.edits()).toHaveLength(1)
  })
  it('adds a table of a list', () => {
    const draft = new Draft(settings)
    const at = draft.add('ice')
    draft.set('ice', at, 'minutes', '75')
    expect(draft.edits()).toEqual([{ table: 'ice', at: 2, key: 'minutes', value: '75' }])
  })
  it('passes on what is no number, so that the file says what is wrong', () => {
    const draft = new Draft(settings)
    draft.type('hand_in', 0, hours, 'two days')
    expect(draft.edits()[0]?.value).toBe('"two days"')
  })
  it('keeps what a team has beside name and rink', () => {
    const raw = '[{"id":"a","name":"Kelp Bay","home":"salt","away":[{"from":"2026-11-07","why":"x"}]},{"id":"b","name":"Millrace"}]'
    expect(teamLines(raw)).toBe('a, Kelp Bay, salt\nb, Millrace')
    expect(JSON.parse(teamsOf('a, Kelp Cove\n\nc, New, salt', raw))).toEqual([
      { id: 'a', name: 'Kelp Cove', away: [{ from: '2026-11-07', why: 'x' }] }, { id: 'c', name: 'New', home: 'salt' },
    ])
    expect(teamsOf('', raw)).toBe('')
  })
  it('takes rows away, the last first, and numbers the added ones after what is left of them', () => {
    const draft = new Draft(settings)
    const two = draft.add('ice')
    const three = draft.add('ice')
    draft.set('ice', two, 'minutes', '75')
    draft.set('ice', three, 'minutes', '90')
    draft.set('ice', 1, 'minutes', '60')
    draft.take('ice', two)
    draft.take('ice', 0)
    draft.take('ice', 1)
    expect(draft.rows('ice')).toEqual([0, 1, three])
    expect(draft.edits()).toEqual([
      { table: 'ice', at: 2, key: 'minutes', value: '90' }, { table: 'ice', at: 1, key: '', remove: true }, { table: 'ice', at: 0, key: '', remove: true },
    ])
    expect(draft.rowOf('ice', 0)).toBe(three)
    draft.putBack('ice', 1)
    expect(draft.edits()[0]).toEqual({ table: 'ice', at: 2, key: 'minutes', value: '90' })
    expect(draft.edits()).toContainEqual({ table: 'ice', at: 1, key: 'minutes', value: '60' })
  })
  it('lets a table of one kind go before it begins anew', () => {
    const draft = new Draft([{ table: 'division.standings.own', at: 1, key: 'first', value: '"pts"' }, { table: 'division', at: 1, key: 'id', value: '"u14"' }])
    expect(draft.has('division.standings', 1)).toBe(true)
    draft.clear('division.standings', 1)
    expect(draft.has('division.standings', 1)).toBe(false)
    draft.set('division.standings', 1, 'procedure', '"iihf"')
    expect(draft.edits()).toEqual([{ table: 'division.standings', at: 1, key: '', remove: true }, { table: 'division.standings', at: 1, key: 'procedure', value: '"iihf"' }])
  })
  it('takes drive times and days with a reason as people type them', () => {
    expect(read('pairs', 'ropewalk 25, mole: 40,')).toBe('{"ropewalk":25,"mole":40}')
    expect(read('pairs', 'ropewalk far')).toBe('{"ropewalk far":""}')
    expect(written('pairs', '{"ropewalk":25,"mole":40}')).toBe('ropewalk 25, mole 40')
    const spans = '[{"from":"2027-03-20","to":"2027-03-28","why":"Play-offs"},{"from":"2026-11-07","why":"2 cups"}]'
    expect(written('spans', spans)).toBe('2027-03-20 2027-03-28 Play-offs\n2026-11-07 2 cups')
    expect(read('spans', written('spans', spans))).toBe(spans)
  })
  it('takes a time of day however it is typed, and leaves what is none', () => {
    const times = { '18:30': '18:30', '18.30': '18:30', '1830': '18:30', '9:05': '09:05', ' 7 ': '07:00', '6:30 pm': '18:30', '12 am': '00:00', '12:15 PM': '12:15', '25:00': '25:00', '10:60': '10:60', '13 pm': '13 pm', soon: 'soon', '': '' }
    expect(Object.fromEntries(Object.keys(times).map((text) => [text, clockTime(text)]))).toEqual(times)
    expect(read('time', '18.30')).toBe('"18:30"')
  })
  it('takes numbers in a list', () => {
    expect(read('numbers', '0, 1, -1,')).toBe('[0,1,-1]')
    expect(read('numbers', '1, two')).toBe('[1,"two"]')
    expect(written('numbers', '[0,1,-1]')).toBe('0, 1, -1')
  })
  it('keeps the days of a team with the team', () => {
    const raw = '[{"id":"a","name":"A","away":[{"from":"2026-11-07","why":"x"}]},{"id":"b","name":"B"}]'
    expect(awayLines(raw)).toBe('a 2026-11-07 x')
    expect(JSON.parse(withAway(raw, 'b, 2026-12-01 2026-12-02 Cup\nnobody 2026-12-01 x'))).toEqual([{ id: 'a', name: 'A' }, { id: 'b', name: 'B', away: [{ from: '2026-12-01', to: '2026-12-02', why: 'Cup' }] }])
  })
})
