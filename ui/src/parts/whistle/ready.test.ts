import { describe, expect, it } from 'vitest'
import { line, momentAt, stateAt } from '../../game/fixture'
import { withActs } from './acts'
import { bookHolds, bookLooks, bookOwes, localHolds } from './ready'

const calm = { timeOut: null, delay: null, unposted: false, striking: false, postable: false, lost: false, unsent: 0 }
const keys = (list: { key: string }[]) => list.map((one) => one.key)

const doer = (done: string[]) => ({
  settle: (item: { key: string }) => void done.push(`settle ${item.key}`),
  settleAll: () => void done.push('all'),
  fillIn: (entry: string) => void done.push(`fill in ${entry}`),
  answer: (question: { id: string }, picks: string[]) => void done.push(`answer ${question.id} ${picks.join()}`),
  addMissing: (missing: { number: string }) => void done.push(`add ${missing.number}`),
  setAside: (key: string) => void done.push(`set aside ${key}`),
})

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
    const rows = withActs(bookHolds(stateAt(0, { hold })), doer(done))
    const acts = rows.flatMap((row) => row.acts)
    expect(acts.map((one) => `${one.key} ${one.hook}`)).toEqual(['1 settle', '2 set-aside', '3 fill-in', '4 set-aside'])
    for (const act of acts) act.run()
    expect(done).toEqual(['settle running/8-1', 'set aside running/8-1', 'fill in x', 'set aside serves/x'])
  })
})

describe('what holds nobody', () => {
  const words = { key: 'line.note' }
  const call = line({ entry: 'x', kind: 'penalty', body: { side: 'home', player: '99', parts: ['minor'] } })
  it('is asked from its moment on, with the words of its taps', () => {
    const state = stateAt(0, {
      notices: [
        { key: 'net/home/1', say: words, settle: { side: 'home', number: '1' }, settle_kind: 'goalkeeper', settle_say: { key: 'tap.done' }, aside_say: { key: 'tap.stays_out' } },
        { key: 'clock/last', say: words, settle: { on: false }, settle_kind: 'running_time', from: momentAt(3, 120_000) },
      ],
    })
    const due = momentAt(3, 120_000).abs_ms
    expect(keys(bookLooks(state, due - 1))).toEqual(['net/home/1'])
    expect(keys(bookLooks(state, due))).toEqual(['net/home/1', 'clock/last'])
    const [net] = withActs(bookLooks(state, 0), doer([]))
    expect(net?.acts.map((one) => one.label)).toEqual(['Done', 'Stays out'])
  })
  it('is owed until it is set aside, and not said twice', () => {
    const question = { id: 'choice/1', side: 'home' as const, moment: momentAt(1, 0), now: true, players: ['4', '', '6'], count: 1, default: ['4'], answered: false, open: false, say: words, reason: { code: '', rule: '', say: words } }
    const state = stateAt(0, {
      lines: [call],
      hold: [{ key: 'serves/y', entry: 'y', say: words }],
      asked: [question],
      owed: [
        { key: 'roster/99/x', entry: 'x', say: words },
        { key: 'player/y', entry: 'y', say: words },
        { key: 'call/x', entry: 'x', say: words, aside: true },
        { key: 'choice/1', say: words },
        { key: 'dressed/home', say: words },
      ],
    })
    const owes = bookOwes(state, (entry) => entry === 'x')
    expect(keys(owes)).toEqual(['roster/99/x', 'choice/1', 'dressed/home'])
    const done: string[] = []
    const rows = withActs(owes, doer(done))
    expect(rows.map((row) => row.acts.map((one) => one.hook))).toEqual([
      ['fill-in', 'add-player', 'set-aside'], ['pick', 'pick', 'set-aside'], ['settle', 'set-aside'],
    ])
    for (const act of rows.flatMap((row) => row.acts)) act.run()
    expect(done).toEqual([
      'fill in x', 'add 99', 'set aside roster/99/x', 'answer choice/1 4', 'answer choice/1 6', 'set aside choice/1',
      'settle dressed/home', 'set aside dressed/home',
    ])
  })
})
