import { describe, expect, it } from 'vitest'
import { stateAt } from '../../game/fixture'
import { bookHolds, localHolds } from './ready'

const calm = { timeOut: null, unposted: false, lost: false, unsent: 0 }
const keys = (list: { key: string }[]) => list.map((one) => one.key)

describe('reasons to hold', () => {
  it('are none when all is posted and heard', () => {
    expect(localHolds(calm)).toEqual([])
  })
  it('begin with what only this page knows', () => {
    expect(keys(localHolds({ timeOut: 9000, unposted: true, lost: true, unsent: 2 }))).toEqual([
      'local.lost', 'local.unposted', 'local.unsent', 'local.time_out',
    ])
    // A post on its way is not worth a word while the bench answers.
    expect(localHolds({ ...calm, unsent: 1 })).toEqual([])
  })
  it('of the book can be settled, filled in or set aside as they say', () => {
    const words = { key: 'line.note' }
    const state = stateAt(0, {
      hold: [
        { key: 'period_over', say: words },
        { key: 'serves/x', entry: 'x', say: words },
        { key: 'back/home/2', say: words, settle: { item: 'back/home/2' }, settle_kind: 'set_aside' },
        { key: 'running/8-1', say: words, settle: { on: true }, settle_kind: 'running_time' },
      ],
    })
    expect(bookHolds(state).map((one) => [one.away, one.yes !== undefined, one.fill])).toEqual([
      [false, false, undefined],
      [true, false, 'x'],
      [false, true, undefined],
      [true, true, undefined],
    ])
  })
})
