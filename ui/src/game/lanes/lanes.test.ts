import { describe, expect, it } from 'vitest'
import { minute, momentAt, stateAt, term } from '../fixture'
import { axisFor, percent } from './axis'
import { barsOf } from './bars'
import { nextRelease, onIce, playNow } from './play'

const now = (left: number) => playNow(stateAt(left), 12 * minute - left)

describe('where play stands', () => {
  it('counts periods before this one', () => {
    expect(now(10 * minute)).toEqual({ abs: 14 * minute, period: 2, end: 24 * minute, play: true })
  })
  it('stands still through an intermission, at the start of the next period', () => {
    const state = stateAt(0, { stage: { kind: 'intermission', number: 2 } })
    expect(playNow(state, 30_000)).toEqual({ abs: 24 * minute, period: 3, end: 36 * minute, play: false })
  })
  it('is at the start before the game', () => {
    expect(playNow(stateAt(0, { stage: { kind: 'warm_up' } }), 9000).abs).toBe(0)
  })
})

describe('skaters and releases', () => {
  const state = stateAt(10 * minute, {
    strength: [
      { from: momentAt(1, 12 * minute), skaters: [5, 5] },
      { from: momentAt(2, 10.5 * minute), skaters: [4, 5] },
      { from: momentAt(2, 9 * minute), skaters: [5, 5] },
    ],
    releases: [
      { moment: momentAt(2, 10.2 * minute), side: 'visitors', term: 'x', sits: '4', door: 'at_whistle', why: { key: 'why.whistle' } },
      { moment: momentAt(2, 9 * minute), side: 'home', term: 'a', sits: '17', door: 'at_end', why: { key: 'why.time' } },
    ],
  })
  it('takes the newest step that has come', () => {
    expect(onIce(state, now(10 * minute)).skaters).toEqual([4, 5])
    expect(onIce(state, now(9 * minute)).skaters).toEqual([5, 5])
    const overtime = { ...state, strength: [...state.strength, { from: momentAt(3, 12 * minute), skaters: [4, 4] as [number, number] }] }
    expect(onIce(overtime, now(0)).skaters).toEqual([5, 5])
  })
  it('names who is next', () => {
    expect(nextRelease(state, now(10 * minute))?.sits).toBe('17')
    expect(nextRelease(state, now(8 * minute))).toBeNull()
  })
})

describe('whoever waits for a whistle', () => {
  it('may leave after the time at which the penalty ran out, not after the start of the next period', () => {
    const why = { key: 'why.off_clock' }
    const state = stateAt(0, {
      releases: [
        { moment: momentAt(2, 9 * minute), side: 'home', term: 'm', sits: '5', door: 'next_whistle', why },
        { moment: momentAt(3, 12 * minute), side: 'home', term: 'm', sits: '5', door: 'at_whistle', why },
      ],
    })
    for (const left of [10, 9, 8]) expect(nextRelease(state, now(left * minute))?.moment.left_ms).toBe(9 * minute)
    const left = { ...state, releases: state.releases.map((one, i) => (i === 1 ? { ...one, moment: momentAt(2, 8 * minute) } : one)) }
    expect(nextRelease(left, now(7 * minute))).toBeNull()
  })
})

describe('bars', () => {
  it('runs from now to the release, and carries over the period', () => {
    const state = stateAt(minute, { terms: [term({ id: 'a', start: momentAt(2, minute), end: momentAt(3, 11.5 * minute) })] })
    const [bar] = barsOf(state, 'home', now(minute))
    expect(bar).toMatchObject({ left: 90_000, state: 'running', open: false, costs: true })
    expect(bar?.pieces).toEqual([{ id: 'a', from: 0, to: 90_000, state: 'running' }])
    const axis = axisFor(state, bar ? [bar] : [], now(minute))
    expect(axis.span).toBe(3 * minute)
    const end = axis.marks.find((mark) => mark.period === 2)
    expect(end?.at).toBe(minute)
    expect(percent(90_000, axis)).toBe(50)
  })
  it('leaves a minute without words where those of the end of the period stand', () => {
    const texts = (left: number) => axisFor(stateAt(left), [], now(left)).marks.map((mark) => mark.text).filter(Boolean).sort()
    expect(texts(4.5 * minute)).toEqual(['2:00', '3:00', '4:00']) // before the end, which is near the edge
    expect(texts(3 * minute)).toEqual(['11:00', '1:00', '2:00']) // and behind it where there is room
  })
  it('puts one row behind the other, and a waiting one where the one before ends', () => {
    const terms = [
      term({ id: 'b', row: 'r', start: momentAt(2, 9 * minute), end: momentAt(2, 7.5 * minute), waits: true }),
      term({ id: 'a', row: 'r', start: momentAt(2, 10.5 * minute), end: momentAt(2, 9 * minute), door: 'none' }),
    ]
    const [bar, ...rest] = barsOf(stateAt(10 * minute, { terms }), 'home', now(10 * minute))
    expect(rest).toEqual([])
    expect(bar?.pieces.map((piece) => [piece.from, piece.to, piece.state])).toEqual([
      [0, minute, 'running'],
      [minute, 2.5 * minute, 'waiting'],
    ])
    expect(bar?.left).toBe(2.5 * minute)
  })
  it('knows when one who sits for the first part only comes out', () => {
    const terms = [
      term({ id: 'a', row: 'r', sits: '9', start: momentAt(2, 10.5 * minute), end: momentAt(2, 9 * minute) }),
      term({ id: 'b', row: 'r', part: 'misconduct', costs: false, start: momentAt(2, 9 * minute), end: momentAt(3, 11 * minute), door: 'next_whistle' }),
    ]
    const [bar] = barsOf(stateAt(10 * minute, { terms }), 'home', now(10 * minute))
    expect(bar).toMatchObject({ number: '17', sits: '9', first: { left_ms: 9 * minute }, end: { period: 3 }, open: true })
  })
  it('tells misconducts, coincidental ones and those who wait for a whistle apart', () => {
    const gone = { start: momentAt(2, 12 * minute), end: momentAt(2, 10.5 * minute) }
    const terms = [
      term({ id: 'm', part: 'misconduct', costs: false, start: momentAt(2, 11 * minute), end: momentAt(2, minute), door: 'next_whistle' }),
      term({ id: 'c', matched: true, costs: false, start: momentAt(2, 11 * minute), end: momentAt(2, 9.5 * minute), door: 'next_whistle' }),
      { ...term({ id: 'f', door: 'next_whistle', ...gone }), out: undefined },
      term({ id: 'over', ...gone }),
      term({ id: 'wiped', ended: 'wiped', start: momentAt(2, 10 * minute), end: momentAt(2, 8.5 * minute) }),
    ]
    const bars = barsOf(stateAt(10 * minute, { terms }), 'home', now(10 * minute))
    expect(bars.map((bar) => [bar.key, bar.state, bar.open])).toEqual([
      ['m', 'misconduct', true],
      ['c', 'matched', true],
      ['f', 'free', true],
    ])
    expect(barsOf(stateAt(10 * minute, { terms }), 'visitors', now(10 * minute))).toEqual([])
  })
  it('keeps a player in the lane who is done but has no room on the ice', () => {
    const terms = [{ ...term({ id: 'h', start: momentAt(2, 12 * minute), end: momentAt(2, 10.2 * minute) }), out: momentAt(2, 9.5 * minute) }]
    const [bar] = barsOf(stateAt(10 * minute, { terms }), 'home', now(10 * minute))
    expect([bar?.state, bar?.open, bar?.left]).toEqual(['free', false, 0.5 * minute])
    expect(barsOf(stateAt(10 * minute, { terms }), 'home', now(9.4 * minute))).toEqual([])
  })
})
