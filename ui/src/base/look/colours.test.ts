import { expect, test } from 'vitest'
import { clamp, contrast, sheetOf } from './colours'

const colours = ['#ffffff', '#000000', '#ffd200', '#ffff00', '#00ff00', '#0000ff', '#c8102e', '#808080', '#123456', '#ff66cc', '#fefefe']

test.each(colours)('%s can be read on a light page and on a dark one', (colour) => {
  for (const dark of [false, true]) {
    const { text, mark, fill, stripe, on } = clamp(colour, dark)
    const pages = dark ? ['#08141a', '#0e1f27'] : ['#e9f1f3', '#ffffff']
    for (const page of pages) {
      expect(contrast(text, page), `text on ${page}`).toBeGreaterThanOrEqual(7)
      expect(contrast(mark, page), `mark on ${page}`).toBeGreaterThanOrEqual(4.5)
    }
    expect(contrast(text, fill), 'text on the fill').toBeGreaterThanOrEqual(7)
    expect(contrast(mark, fill), 'mark on the fill').toBeGreaterThanOrEqual(3)
    for (const below of [fill, stripe]) expect(contrast(on, below), 'text on the pattern').toBeGreaterThanOrEqual(7)
  }
})

test('what can be read already stays as it is', () => {
  expect(clamp('#075b56', false).mark).toBe('#075b56')
  expect(contrast('#ffffff', '#000000')).toBeCloseTo(21)
})

test('a side without a colour keeps the lane\'s own', () => {
  expect(sheetOf('', '')).not.toContain('--home')
  expect(sheetOf('#c8102e', '')).not.toContain('--visitors')
  expect(sheetOf('', '#c8102e')).toContain('--on-visitors')
})
