import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { codesIn } from './codes'

const code = '04AG0-9R0D9-7AB3C-00TYZ-K4M2Q-7V'
const other = '04BX1-5N2D9-1AB3C-00TYZ-K4M2Q-9'

describe('codes in a text', () => {
  it.each([
    ['by itself', code, [code]],
    ['in a message', `Hello Wren, well done! My code is ${code}. See you on Friday-evening.`, [code]],
    ['several in several messages', `Wren: ${code}\nLinnet (box):\n${other}\n`, [code, other]],
    ['as a list with hyphens', `- ${code}\n- ${other}`, [code, other]],
    ['twice', `${code}\n> ${code}`, [code]],
    ['in small letters', code.toLowerCase(), [code]],
    ['broken after a hyphen', code.replace('-7AB3C-', '-\n7AB3C-'), [code]],
    ['broken and quoted', `> ${code.replace('-7AB3C-', '-\n> 7AB3C-')}`, [code]],
    ['with long dashes', code.replaceAll('-', '–'), [code]],
    ['typed with blanks', `code: ${code.replaceAll('-', ' ')}`, [code]],
    ['typed with blanks and in small letters', `hello there coach: ${code.replaceAll('-', ' ').toLowerCase()}`, [code]],
    ['broken within a group', code.replace('-7AB3C-', '-7A\n> B3C-'), [code]],
    ['with a blank within a group', code.replace('-7AB3C-', '-7AB 3C-'), [code]],
    ['none in small words of five', 'these words which stand there count never', []],
    ['with a letter missing, so that it can be said', code.replace('7AB3C', '7AB3'), [code.replace('7AB3C', '7AB3')]],
    ['none in words', 'Hello coach, state-of-the-art training there on 2026-11-25; THESE WORDS HAVE FIVES here.', []],
    ['none in a number of a telephone', '00123-45678-90123', []],
    ['nothing', '', []],
  ])('%s', (_, text, want) => {
    expect(codesIn(text)).toEqual(want)
  })
  it('finds each code again in whatever words', () => {
    const letters = [...'0123456789ABCDEFGHJKMNPQRSTVWXYZ']
    const group = fc.string({ unit: fc.constantFrom(...letters), minLength: 5, maxLength: 5 })
    const any = fc.tuple(fc.array(group, { minLength: 4, maxLength: 30 }), fc.string({ unit: fc.constantFrom(...letters), minLength: 1, maxLength: 5 }))
      .map(([groups, last]) => [...groups, last].join('-'))
    fc.assert(fc.property(fc.uniqueArray(any, { minLength: 1, maxLength: 8 }), fc.constantFrom('\n', ', ', ' and ', '\n> '), (codes, between) => {
      expect(codesIn(`Hello! ${codes.join(between)}\nThank you.`)).toEqual(codes)
    }))
  })
})
