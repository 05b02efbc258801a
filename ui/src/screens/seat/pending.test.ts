import { describe, expect, it } from 'vitest'
import type { Entry } from '../../base/contract/contract'
import { line, momentAt, stateAt, term } from '../../game/fixture'
import { playNow } from '../../game/lanes/play'
import { draft } from '../../base/transport/draft'
import { lastLook, sittersOf } from './box/sitting'
import { withKept } from '../../parts/pending/shown'
import { entryWords, keptRows } from '../../parts/pending/words'
import '../../base/words/seat'

const game = '01JD0000000000000000000000'
const wall = 1000
const call = line({ entry: 'call', kind: 'penalty', body: { side: 'home', player: '17', parts: ['minor'] }, seq: 8, moment: momentAt(2, 600_000) })
const state = stateAt(580_000, { lines: [call], terms: [term({ id: 'call', start: momentAt(2, 600_000), end: momentAt(2, 510_000) })] })
const seated = (inside: boolean) => draft({ game, kind: 'seated', body: { side: 'home', player: '17', in: inside }, wall, seat: 'box' })
const now = playNow(state, state.clock.elapsed_ms)
const sitter = (waiting: Entry[]) => sittersOf(withKept(state, waiting), 'home', now)[0]

describe('what is kept while the bench does not answer', () => {
  it('changes the card at once, and back when it is taken back', () => {
    expect(sitter([])?.seen).toBe(false)
    const inside = seated(true)
    expect(sitter([inside])?.seen).toBe(true)
    expect(sitter([inside, seated(false)])?.standing).toBe('left')
    expect(sitter([inside, draft({ game, kind: 'struck', body: {}, of: inside.id, wall })])?.seen).toBe(false)
  })
  it('can be undone by the button of the seat', () => {
    const inside = seated(true)
    expect(lastLook(withKept(state, [inside]), 'home', wall, () => true).map((one) => one.entry)).toEqual([inside.id])
  })
  it('shows who keeps goal', () => {
    const empty = draft({ game, kind: 'goalkeeper', body: { side: 'visitors' }, wall })
    expect(withKept(state, [empty]).teams[1].net_empty).toBe(true)
  })
  it('leaves a state alone that has it already, or that nothing changes', () => {
    expect(withKept(state, [])).toBe(state)
    expect(withKept(state, [draft({ game, kind: 'shots', body: { side: 'home', count: 1 }, wall })])).toBe(state)
    const inside = seated(true)
    const known = withKept(state, [inside])
    expect(withKept(known, [inside])).toBe(known)
  })
  it('says in words what it is and when it was entered', () => {
    const shot = draft({ game, kind: 'shots', body: { side: 'visitors', count: 1 }, wall })
    const strike = draft({ game, kind: 'struck', body: {}, of: shot.id, wall })
    expect(keptRows([{ key: shot.id, entries: [shot], saw: 0 }, { key: strike.id, entries: [strike], saw: 0 }], state)).toEqual([
      { key: shot.id, words: 'Shot on goal by Lanternside.', when: '9:40 of the 2nd' },
      { key: strike.id, words: 'Taken back: Shot on goal by Lanternside.', when: '9:40 of the 2nd' },
    ])
    expect(entryWords(seated(false), state)).toBe('Kelp Bay 17 has left the box.')
  })
})
