import { describe, expect, it } from 'vitest'
import { Draft, teamLines, teamsOf, type Field } from './form'

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
    expect(draft.rows('ice')).toBe(2)
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
})
