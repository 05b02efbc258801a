import { describe, expect, it } from 'vitest'
import type { Announcement, State } from '../../base/contract/contract'
import { shownOf, sinceWhistle, type Todo, todoList } from './todo'

const moment = (abs_ms: number, left_ms: number) => ({ abs_ms, period: 1, elapsed_ms: abs_ms, left_ms })
const stop = { entry: 's', kind: 'clock_stopped', struck: false, body: {} }
const goal = { entry: 'g', kind: 'goal', struck: false, body: { side: 'visitors' } }
const penalty = { entry: 'p', kind: 'penalty', struck: false, body: { side: 'home' } }
const now = { abs: 60_000, period: 1, end: 720_000, play: true }
const said = [{ key: 'goal/0', kind: 'goal', entry: 'older', says: [], waits: false, again: false }, { key: 'goal/1', kind: 'goal', entry: 'g', says: [], waits: true, again: false }] as unknown as Announcement[]

/** A state with the parts that the list is made of. */
function state(lines: object[], more: Partial<State> = {}): State {
  const team = (side: string, name: string, score: number) => ({ side, name, score, shown: score, players: [{ number: '5', name: 'Ivo Marl' }] })
  return { lines, terms: [], due: [], teams: [team('home', 'Kelp Bay', 1), team('visitors', 'Lanternside', 2)], ...more } as unknown as State
}

describe('what a whistle leaves to do', () => {
  it('is nothing where nothing was entered, nor outside of play', () => {
    expect(todoList(state([stop]), now, [])).toEqual([])
    expect(todoList(state([stop, goal]), { ...now, play: false }, said)).toEqual([])
  })
  it('is in the order in which it is done: out, score, who sits, what is said', () => {
    const due = [{ moment: moment(60_000, 660_000), side: 'home', sits: '5', player: '5', bench: false, term: 'p/0', door: 'now', why: { key: 'x' }, from_ms: 55_000, until_ms: 60_000 }]
    const terms = [{ id: 'p/0', entry: 'p', side: 'home', sits: '17', length_ms: 90_000, goal_ends: true, end: moment(150_000, 570_000) }]
    const list = todoList(state([stop, goal, penalty], { due: due as unknown as State['due'], terms: terms as unknown as State['terms'] }), now, said)
    expect(list.map((one) => one.kind)).toEqual(['out', 'score', 'in', 'say'])
    expect(list[0]?.text).toContain('5')
    expect(list[1]?.text).toContain('1–2')
    expect(list[2]?.more).toContain('9:30')
    expect(list[3]).toMatchObject({ what: 'goal/1' })
  })
  it('says again what was changed at this whistle, also where a change was changed', () => {
    const changed = { entry: 'a', kind: 'amended', struck: false, of: 'older', body: {} }
    for (const line of [changed, { ...changed, entry: 'b', of: 'a', root: 'older' }])
      expect(todoList(state([stop, line]), now, said).map((one) => one.what)).toEqual(['goal/0'])
  })
  it('forgets the whistle before, and what was taken back', () => {
    const lines = [stop, goal, { ...stop, entry: 's2' }, { ...penalty, struck: true }] as unknown as State['lines']
    expect(sinceWhistle(lines)).toEqual([])
    expect(sinceWhistle([...lines.slice(0, 2), { ...lines[2], struck: true }] as State['lines']).map((line) => line.entry)).toEqual(['g'])
  })
  it('is shown whole, ticked or not, up to what anybody reads; beyond that what comes first of what is left', () => {
    const list = Array.from({ length: 30 }, (_, i): Todo => ({ key: String(i), kind: 'say', text: '', more: '' }))
    const done = ({ key }: Todo) => Number(key) % 2 === 0
    expect(shownOf(list.slice(0, 12), done)).toHaveLength(12)
    expect(shownOf(list, done).map((one) => one.key)).toEqual(['1', '3', '5', '7', '9', '11', '13', '15', '17', '19', '21', '23'])
  })
})
