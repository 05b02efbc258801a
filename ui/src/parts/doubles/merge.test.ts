import { describe, expect, it } from 'vitest'
import type { Double } from '../../base/contract/contract'
import { draft } from '../../base/transport/draft'
import { bothDrafts, doubleOf, joinDrafts, mergeDrafts } from './merge'

const double: Double = {
  key: 'double/a/b', first: 'a', second: 'b', merged: { side: 'home', scorer: '9', assists: ['8'] }, merged_kind: 'goal',
  differs: ['scorer'], say: { key: 'double.goal' },
}
const game = {
  draft: ((kind, body, more) => draft({ game: 'g', kind, body, wall: 0, ...more })) as Parameters<typeof mergeDrafts>[0]['draft'],
}

describe('two entries of one thing', () => {
  it('become the first, with what the second knew', () => {
    const [amended, struck] = mergeDrafts(game, double)
    expect(amended).toMatchObject({
      type: 'whistlestop.amended.v1', of: 'a', data: { at: { period: 0, elapsed_ms: 0 }, body: { kind: 'goal', body: double.merged } },
    })
    expect(struck).toMatchObject({ type: 'whistlestop.struck.v1', of: 'b', data: { body: { reason: 'double' } } })
  })
  it('stay two where both are right', () => {
    expect(bothDrafts(game, double)).toMatchObject([{ type: 'whistlestop.set_aside.v1', data: { body: { item: 'double/a/b' } } }])
  })
  it('need no second entry where it was not posted yet', () => {
    expect(joinDrafts(game, double)).toMatchObject([{ type: 'whistlestop.amended.v1', of: 'a' }])
  })
  it('are offered before posting only if one of them is in the ledger', () => {
    expect(doubleOf([double], (entry) => entry === 'a')).toBe(double)
    expect(doubleOf([double], () => true)).toBeNull()
    expect(doubleOf([double], () => false)).toBeNull()
  })
})
