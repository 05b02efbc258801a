import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { drawn, field, full, penPath, type Point } from './pen'

describe('a signature', () => {
  it('is path data that the ledger takes, however long somebody draws', () => {
    const moves = fc.array(fc.record({ x: fc.double({ min: -50, max: 700, noNaN: true }), y: fc.double({ min: -50, max: 300, noNaN: true }) }), { maxLength: 300 })
    fc.assert(
      fc.property(fc.array(moves, { maxLength: 8 }), (lines) => {
        let strokes: Point[][] = []
        for (const line of lines) {
          strokes = [...strokes, []]
          for (const point of line) strokes = drawn(strokes, point)
        }
        const path = penPath(strokes)
        expect(path.length).toBeLessThanOrEqual(8192)
        expect(path).toMatch(/^[ML0-9 ]*$/)
        for (const point of strokes.flat()) {
          expect(point.x).toBeGreaterThanOrEqual(0)
          expect(point.x).toBeLessThanOrEqual(field.width)
        }
      }),
      { numRuns: 30 },
    )
  })
  it('says when nothing more fits', () => {
    let strokes: Point[][] = [[]]
    for (let i = 0; i < 3000; i++) strokes = drawn(strokes, { x: i % 2 ? 10 : 500, y: i % 170 })
    expect(full(strokes)).toBe(true)
    expect(drawn(strokes, { x: 1, y: 1 })).toBe(strokes)
  })
  it('keeps a dot and leaves out a hand that trembles', () => {
    expect(penPath([[{ x: 5, y: 6 }]])).toBe('M5 6L6 6')
    const still = drawn([[{ x: 5, y: 6 }]], { x: 6, y: 7 })
    expect(still[0]).toHaveLength(1)
  })
})
