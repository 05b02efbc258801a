import { describe, expect, it } from 'vitest'
import type { Announcement } from '../../base/contract/contract'
import { line, minute, momentAt, stateAt } from '../../game/fixture'
import { playNow } from '../../game/lanes/play'
import { draft } from '../../base/transport/draft'
import { Announcements } from './announcements.svelte'
import { saidLines, sorted } from './sorted'

const announcement = (key: string, kind: Announcement['kind'], left: number, given: Partial<Announcement> = {}): Announcement => {
  const at = momentAt(2, left)
  return { key, kind, at, due_abs_ms: at.abs_ms, says: [], twice: false, waits: false, said: false, again: false, ...given }
}
const keys = (list: Announcement[]) => list.map((one) => one.key)
const state = stateAt(5 * minute)
const now = playNow(state, state.clock.elapsed_ms)

describe('announcements', () => {
  it('are due, still to come, too late, or said', () => {
    const result = sorted([
      announcement('w', 'before', 12 * minute, { due_abs_ms: 0 }),
      announcement('f', 'full_strength', 7 * minute),
      announcement('o', 'goal', 9 * minute),
      announcement('g', 'goal', 6 * minute, { said: true }),
      announcement('p', 'penalty', 6 * minute),
      announcement('q', 'full_strength', 5.5 * minute),
      announcement('h', 'goal', 5 * minute, { said: true }),
      announcement('m', 'last_minute', minute),
    ], state, now)
    expect([keys(result.due), keys(result.coming), keys(result.late), keys(result.said)]).toEqual([['p', 'q'], ['m'], ['w', 'f', 'o'], ['h', 'g']])
  })
  it('before the game are due until it begins', () => {
    const early = stateAt(5 * minute, { stage: { kind: 'warm_up' }, periods: state.periods.map((one) => ({ ...one, begun: false })) })
    expect(keys(sorted([announcement('w', 'before', 0, { due_abs_ms: 0 })], early, playNow(early, 0)).due)).toEqual(['w'])
  })
  it('follow the tap before the bench has answered it', () => {
    const tap = draft({ game: 'g', kind: 'announced', body: { what: 'p' }, wall: 0 })
    expect(keys(sorted([announcement('p', 'penalty', 6 * minute)], state, now, [tap]).said)).toEqual(['p'])
    const told = line({ entry: 'x', kind: 'announced', body: { what: 'p' } })
    const back = draft({ game: 'g', kind: 'struck', body: {}, of: 'x', wall: 0 })
    const list = [announcement('p', 'penalty', 6 * minute, { said: true })]
    expect(keys(sorted(list, { ...state, lines: [told] }, now, [back]).due)).toEqual(['p'])
  })
  it('are taken back by striking what said them', () => {
    const lines = [
      line({ entry: 'x', kind: 'announced', body: { what: 'p' } }),
      line({ entry: 'y', kind: 'announced', body: { what: 'p' }, struck: true }),
      line({ entry: 'z', kind: 'announced', body: { what: 'q' } }),
    ]
    expect(saidLines({ ...state, lines }, 'p').map((one) => one.entry)).toEqual(['x'])
  })
})

describe('the list of announcements', () => {
  it('is asked for until it is as new as the game, also after a silence', async () => {
    const answers: (number | null)[] = [3, null, 5]
    let asked = 0
    const list = new Announcements(() => {
      const seq = answers[asked++] ?? 9
      return answers[asked - 1] === null ? Promise.reject(new Error('lost')) : Promise.resolve({ announcements: [announcement(`of ${seq}`, 'goal', 0)], seq })
    }, 1)
    const first = list.want(3)
    void list.want(5)
    await first
    expect([asked, keys(list.list), list.lost]).toEqual([3, ['of 5'], false])
    await list.want(4)
    expect(asked).toBe(3)
  })
})
