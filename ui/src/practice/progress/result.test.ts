import { describe, expect, it } from 'vitest'
import type { PracticeResult } from '../../base/contract/contract'
import { dayOf, dayStamp, dayText } from './day'
import { markOf, merge, nameOf, resultOf, sameName } from './result'

const wren: PracticeResult = {
  name: 'Wren', seat: 'box', script: 'standard', level: 3, drill: false, day: 2520, score: 90,
  skills: [{ skill: 'carry_over', right: 9, of: 10 }, { skill: 'minor', right: 2, of: 3 }],
}

describe('a result', () => {
  it('is read back as it was written', () => {
    expect(resultOf(JSON.parse(JSON.stringify(wren)))).toEqual(wren)
  })
  it.each([
    ['nothing', null], ['a text', 'Wren'],
    ['no name', { ...wren, name: ' ' }], ['a name with a break in it', { ...wren, name: 'Wr\u0007en' }], ['a long name', { ...wren, name: 'é'.repeat(31) }],
    ['no such seat', { ...wren, seat: 'voice' }], ['a script that is a way out', { ...wren, script: '../etc' }],
    ['a level beyond the last', { ...wren, level: 6 }], ['half a day', { ...wren, day: 1.5 }], ['a score above all', { ...wren, score: 101 }],
    ['skills that are none', { ...wren, skills: {} }], ['more right than asked', { ...wren, skills: [{ skill: 'minor', right: 4, of: 3 }] }],
  ])('is none with %s', (_, read) => {
    expect(resultOf(read)).toBeNull()
  })
  it('is one result by code and by file, and another on another day', () => {
    const byCode = { ...wren, name: ' wren', skills: [{ skill: 'minor', right: 66, of: 100 }, { skill: 'carry_over', right: 90, of: 100 }] as const }
    expect(markOf({ ...byCode, skills: [...byCode.skills] })).toBe(markOf(wren))
    const { all, added, twice } = merge([wren], [{ ...wren, day: 2521 }, wren, { ...wren, day: 2521 }])
    expect(all).toHaveLength(2)
    expect([added, twice]).toEqual([1, 2])
  })
  it('has the name of one person, however it is written', () => {
    expect(nameOf('  Anna  Maria ')).toBe('Anna Maria')
    expect(sameName('WREN ', 'wren')).toBe(true)
  })
})

describe('a day', () => {
  it('is that of the place, also late in the evening', () => {
    expect(dayOf(new Date(2020, 0, 1, 0, 5))).toBe(0)
    expect(dayOf(new Date(2026, 10, 25, 23, 59))).toBe(2520)
    expect(dayStamp(2520)).toBe('2026-11-25')
    expect(dayText(60)).toBe('1 Mar 2020')
  })
})
