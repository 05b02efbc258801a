import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { corrected, parseCorrection } from './correction'
import { leftText } from '../../base/words/format'

const set = (left: number) => ({ kind: 'set', left })
const add = (by: number) => ({ kind: 'add', by })

describe('a correction as the referee says it', () => {
  it.each([
    ['5:13', set(313_000)], ['513', set(313_000)], [' 45 ', set(45_000)], ['0:07.4', set(7400)],
    ['+9', add(9000)], ['+ 9', add(9000)], ['put 9 back', add(9000)], ['Put 9 s back', add(9000)],
    ['back 9', add(9000)], ['9 back', add(9000)], ['put back 9 seconds', add(9000)], ['ran on 3', add(3000)],
    ['stopped 3 s late', add(3000)], ['started 2 too soon', add(2000)], ['+1:05', add(65_000)], ['+0.4', add(400)],
    ['-4', add(-4000)], ['−4', add(-4000)], ['started 4 s late', add(-4000)], ['started 4 late', add(-4000)],
    ['late 4', add(-4000)], ['4 s late', add(-4000)], ['take 4 off', add(-4000)], ['stopped 2 early', add(-2000)],
    ['+90', add(90_000)], ['+130', add(90_000)], ['+130 s', add(130_000)], ['-4.5 s', add(-4500)],
  ])('%s', (typed, wanted) => expect(parseCorrection(typed)).toEqual(wanted))

  it.each(['', '+', '-', '+0', 'back', 'put nine back', '5:7', '+1:75', '--4', '+-4', '5:13 back 4', 'late', 'put 9'])(
    'does not guess at %j', (typed) => expect(parseCorrection(typed)).toBeNull(),
  )

  it('adds what it was told, forth and back', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 5999 }), (seconds) => {
      const text = leftText(seconds * 1000)
      expect(parseCorrection(text)).toEqual(set(seconds * 1000))
      expect(parseCorrection(`put ${text} back`)).toEqual(add(seconds * 1000))
      expect(parseCorrection(`started ${text} late`)).toEqual(add(-seconds * 1000))
      expect(parseCorrection(`+${Math.min(seconds, 9999)} s`)).toEqual(add(seconds * 1000))
    }))
  })
  it('never fails, and never gives a time that is not one', () => {
    fc.assert(fc.property(fc.string(), (typed) => {
      const read = parseCorrection(typed)
      if (read) expect(Number.isInteger(read.kind === 'set' ? read.left : read.by)).toBe(true)
    }))
  })
})

describe('what the clock shows after it', () => {
  it('stays within the length', () => {
    expect(corrected({ kind: 'add', by: 9000 }, 300_000, 720_000)).toBe(309_000)
    expect(corrected({ kind: 'add', by: 9000 }, 715_000, 720_000)).toBeNull()
    expect(corrected({ kind: 'add', by: -4000 }, 3000, 720_000)).toBeNull()
    expect(corrected({ kind: 'set', left: 720_000 }, 1, 720_000)).toBe(720_000)
    expect(corrected({ kind: 'set', left: 720_001 }, 1, 720_000)).toBeNull()
  })
  it('is undone by the opposite', () => {
    const time = fc.integer({ min: 0, max: 1_200_000 })
    fc.assert(fc.property(time, fc.integer({ min: -60_000, max: 60_000 }), (left, by) => {
      const after = corrected({ kind: 'add', by }, left, 1_200_000)
      if (after !== null) expect(corrected({ kind: 'add', by: -by }, after, 1_200_000)).toBe(left)
    }))
  })
})
