import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Part } from '../../base/contract/contract'
import { stateAt } from '../../game/fixture'
import { bodyOf } from './built'
import { parseLine, type Vocabulary } from './grammar'

const minor: Part[] = ['minor']
const words: Vocabulary = {
  calls: [
    { id: 'tripping', name: 'Tripping', usual: minor },
    { id: 'hooking', name: 'Hooking', usual: minor },
    { id: 'slashing', name: 'Slashing', usual: minor },
    { id: 'holding', name: 'Holding', usual: minor },
    { id: 'holding_stick', name: 'Holding the stick', usual: minor },
    { id: 'high_sticking', name: 'High-sticking', usual: minor },
    { id: 'too_many_players', name: 'Too many players', usual: ['bench_minor'] },
    { id: 'fighting', name: 'Fighting', usual: ['major'] },
  ],
  teams: [
    { side: 'home', name: 'Kelp Bay', numbers: ['1', '12', '17'] },
    { side: 'visitors', name: 'Lanternside', numbers: ['4', '9'] },
  ],
}
const { division } = stateAt(0)
const body = (line: string) => bodyOf(parseLine(line, words).built, division)?.body

describe('the command line', () => {
  it.each([
    ['h 12 trip', { side: 'home', player: '12', call: 'tripping', parts: ['minor'] }],
    ['v 4 hook double', { side: 'visitors', player: '4', call: 'hooking', parts: ['minor', 'minor'] }],
    ['p lantern 9 high', { side: 'visitors', player: '9', call: 'high_sticking', parts: ['minor'] }],
    ['h b too by 17', { side: 'home', bench: true, call: 'too_many_players', parts: ['bench_minor'], served_by: '17' }],
    ['h too /17', { side: 'home', bench: true, call: 'too_many_players', parts: ['bench_minor'], served_by: '17' }],
    ['v ? slash major gm !', { side: 'visitors', call: 'slashing', parts: ['major', 'game_misconduct'], signalled: true }],
    ['v 8 shot !', { side: 'visitors', player: '8', parts: ['penalty_shot'], signalled: true }],
    ['h 17 hold stick minor misc', { side: 'home', player: '17', call: 'holding_stick', parts: ['minor', 'misconduct'] }],
    ['h 17 fight', { side: 'home', player: '17', call: 'fighting', parts: ['major'] }],
    ['h 00', { side: 'home', player: '00', parts: ['minor'] }],
    ['v 9 shot', { side: 'visitors', player: '9', parts: ['penalty_shot'] }],
    ['g h 12 8 5', { side: 'home', scorer: '12', assists: ['8', '5'] }],
    ['g v 9 - en', { side: 'visitors', scorer: '9', unassisted: true, empty_net: true }],
    ['g h ? ?', { side: 'home', assists: [''] }],
    ['g v', { side: 'visitors' }],
    ['g h 12 ps', { side: 'home', scorer: '12', on: 'penalty_shot' }],
    ['t h', { side: 'home', length_ms: 30_000 }],
    ['t o', { length_ms: 30_000 }],
    ['d inj', { why: 'injury' }],
    ['delay ice 10', { why: 'ice', length_ms: 600_000 }],
    ['d equip 1:30', { why: 'equipment', length_ms: 90_000 }],
    ['k h 1', { side: 'home', number: '1' }],
    ['gk v -', { side: 'visitors' }],
    ['n Late to the ice', { text: 'Late to the ice' }],
  ])('%s', (line, wanted) => {
    expect(body(line)).toEqual(wanted)
    expect(parseLine(line, words).unknown).toEqual([])
  })

  it('lists what it does not understand and keeps the rest', () => {
    const parsed = parseLine('h 12 xyzzy', words)
    expect(parsed.unknown).toEqual(['xyzzy'])
    expect(parsed.built).toMatchObject({ side: 'home', who: '12', call: '' })
    expect(parseLine('h 12 trip 14', words).unknown).toEqual(['14'])
    expect(parseLine('g h 12 8 5 3', words).unknown).toEqual(['3'])
    expect(parseLine('x 12', words).unknown).toEqual(['x', '12'])
  })
  it('writes a number as the roster does', () => {
    const teams = words.teams.map((team) => ({ ...team, numbers: ['05', '7', '8', '08'] }))
    expect(parseLine('g h 5 07 08', { ...words, teams }).built).toMatchObject({ who: '05', assists: ['7', '08'] })
    expect(parseLine('h 9 trip by 5', { ...words, teams }).built).toMatchObject({ who: '9', servedBy: '05' })
  })
  it('takes a time', () => {
    expect(parseLine('h 12 trip @5:13', words)).toMatchObject({ at: '5:13', unknown: [] })
  })
  it('offers ways to finish a word, which lead where they say', () => {
    const { completions } = parseLine('h 12 hold', words)
    expect(completions.map((one) => one.label)).toEqual(['Holding', 'Holding the stick'])
    const second = completions[1]?.line ?? ''
    expect(second).toBe('h 12 holding the stick ')
    expect(body(second)).toMatchObject({ player: '12', call: 'holding_stick' })
    expect(parseLine('h 1', words).completions.map((one) => one.line)).toEqual(['h 12 ', 'h 17 '])
  })
  it('never throws, whatever is typed', () => {
    const token = fc.oneof(
      fc.constantFrom('h', 'v', 'g', 'p', 't', 'n', 'b', '?', '!', '@', '@5:13', 'by', '/', '-', 'trip', 'gm', '12', ';'),
      fc.string({ maxLength: 4 }),
    )
    fc.assert(fc.property(fc.array(token, { maxLength: 8 }), (tokens) => {
      const parsed = parseLine(tokens.join(' '), words)
      expect(parsed.built.assists.length).toBeLessThanOrEqual(2)
    }))
  })
})
