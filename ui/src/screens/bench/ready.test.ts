import { describe, expect, it } from 'vitest'
import { stateAt } from '../../game/fixture'
import { withActs } from './acts'
import { bookHolds, localHolds } from './ready'

const calm = { timeOut: null, delay: null, unposted: false, striking: false, postable: false, lost: false, unsent: 0 }
const keys = (list: { key: string }[]) => list.map((one) => one.key)

describe('reasons to hold', () => {
  it('are none when all is posted and heard', () => {
    expect(localHolds(calm)).toEqual([])
  })
  it('begin with what only this page knows', () => {
    expect(keys(localHolds({ ...calm, timeOut: 9000, unposted: true, lost: true, unsent: 2 }))).toEqual([
      'local.lost', 'local.unposted', 'local.unsent', 'local.time_out',
    ])
    // A strike that is only chosen changes nothing yet: the puck waits for it.
    expect(keys(localHolds({ ...calm, striking: true }))).toEqual(['local.striking'])
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
  it('can be settled here where they are of this page', () => {
    const items = localHolds({ ...calm, unposted: true, postable: true, timeOut: 9000, delay: 'Delay 0:12' })
    expect(items.map((one) => one.local)).toEqual(['post', 'time_out', 'delay'])
    expect(localHolds({ ...calm, unposted: true })[0]?.local).toBeUndefined()
  })
  it('have one key for each thing to do', () => {
    const words = { key: 'line.note' }
    const hold = [
      { key: 'running/8-1', say: words, settle: { on: true }, settle_kind: 'running_time' as const },
      { key: 'serves/x', entry: 'x', say: words },
    ]
    const done: string[] = []
    const rows = withActs(bookHolds(stateAt(0, { hold })), {
      settle: (item) => done.push(`settle ${item.key}`),
      fillIn: (entry) => done.push(`fill in ${entry}`),
      setAside: (key) => done.push(`set aside ${key}`),
    })
    const acts = rows.flatMap((row) => row.acts)
    expect(acts.map((one) => `${one.key} ${one.hook}`)).toEqual(['1 settle', '2 set-aside', '3 fill-in', '4 set-aside'])
    for (const act of acts) act.run()
    expect(done).toEqual(['settle running/8-1', 'set aside running/8-1', 'fill in x', 'set aside serves/x'])
  })
})
