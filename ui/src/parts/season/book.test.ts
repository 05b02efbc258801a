import { describe, expect, it } from 'vitest'
import type { FormSetting, ReadyBook } from '../../base/transport/league-form'
import { begin, costs, listless, servingOf } from './book'
import { Draft } from './form.svelte'

const set = (table: string, at: number, key: string, value: unknown): FormSetting => ({ table, at, key, value: JSON.stringify(value) })
const book: ReadyBook = {
  id: 'harbour', source: 'Harbour League, 7 (invented)', settings: [
    set('suspensions.own', 0, 'source', 'Harbour League, 7 (invented)'), set('suspensions.own.serving', 0, 'several', 'together'), set('suspensions.own.serving', 0, 'team', 'same'),
    set('suspensions.own.trigger', 0, 'why', '7.1'), set('suspensions.own.trigger', 0, 'games', 1), set('suspensions.own.trigger', 1, 'why', '7.2'), set('suspensions.own.trigger', 1, 'season', [0, 1, -1]),
  ],
}

describe('a league’s own book of suspensions', () => {
  it('begins with all that a ready-made one says, and with the league’s own answers', () => {
    const draft = new Draft([set('suspensions', 0, 'book', 'harbour'), set('suspensions.serving', 0, 'several', 'one_after_the_other')])
    begin(draft, book)
    expect(draft.rows('suspensions.own.trigger')).toEqual([0, 1])
    expect(draft.get('suspensions.own.trigger', 1, 'why')).toBe('"7.2"')
    expect(draft.get('suspensions.own.serving', 0, 'several')).toBe('"one_after_the_other"')
    expect(draft.get('suspensions.own.serving', 0, 'team')).toBe('"same"')
    expect(draft.has('suspensions.serving', 0)).toBe(false)
    expect(draft.edits()[0]).toEqual({ table: 'suspensions.serving', at: 0, key: '', remove: true })
  })
  it('goes with its rules, and begins anew without them', () => {
    const draft = new Draft(book.settings)
    draft.take('suspensions.own.trigger', 1)
    draft.clear('suspensions.own', 0)
    expect(draft.has('suspensions.own', 0)).toBe(false)
    expect(draft.rows('suspensions.own.trigger')).toEqual([])
    expect(draft.edits()).toEqual([{ table: 'suspensions.own', at: 0, key: '', remove: true }])
    begin(draft, book)
    draft.take('suspensions.own.trigger', 0)
    const edits = draft.edits()
    expect(edits[0]).toEqual({ table: 'suspensions.own', at: 0, key: '', remove: true })
    expect(edits.filter((one) => one.table === 'suspensions.own.trigger').map((one) => [one.at, one.key])).toEqual([[0, 'why'], [0, 'season']])
  })
  it('lacks its list where a rule goes by one that is empty', () => {
    const [own, rules, list] = ['suspensions.own', 'suspensions.own.trigger', { key: 'least', kind: 'pairs' }] as const
    const draft = new Draft(book.settings)
    expect(listless(draft)).toBe(false)
    draft.set(rules, 1, 'listed', 'true')
    expect(listless(draft)).toBe(true)
    draft.type(own, 0, list, 'boarding 2, spearing 4')
    expect(draft.get(own, 0, 'least')).toBe('{"boarding":2,"spearing":4}')
    expect(listless(draft)).toBe(false)
    draft.type(own, 0, list, '')
    expect(listless(draft)).toBe(true)
    draft.take(rules, 1)
    expect(listless(draft)).toBe(false)
  })
  it('says what a rule costs', () => {
    const of = (values: Record<string, string>) => costs((key) => values[key] ?? '')
    expect(of({ games: '2' })).toEqual([2])
    expect(of({ season: '[0,1,-1]', games: '4' })).toEqual([0, 1, -1])
    expect(of({})).toEqual([])
    expect(servingOf(book).get('team')).toBe('"same"')
  })
})
