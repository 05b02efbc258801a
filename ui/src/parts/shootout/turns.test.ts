import { describe, expect, it } from 'vitest'
import type { Attempt, State } from '../../base/contract/contract'
import { minute, momentAt, stateAt, term } from '../../game/fixture'
import { roundOf, shootersOf, turnOf } from './turns'

const attempt = (side: 'home' | 'visitors', player: string): Attempt =>
  ({ entry: side + player, moment: momentAt(3, 0), side, player, goalkeeper: '', scored: false, on: 'shoot_out' })

function shootOut(attempts: Attempt[], rule: Partial<State['division']['shoot_out']> = {}, given: Partial<State> = {}): State {
  const state = stateAt(0, { stage: { kind: 'shoot_out' }, ...given })
  return {
    ...state, book: { ...state.book, attempts },
    division: { ...state.division, shoot_out: { ...state.division.shoot_out, ...rule } },
  }
}

describe('the turns of a shoot-out', () => {
  it('go to and fro, and begin with whoever shot first', () => {
    expect(turnOf(shootOut([]), 'visitors')).toBe('visitors')
    expect(turnOf(shootOut([attempt('visitors', '4')]), 'home')).toBe('home')
    expect(turnOf(shootOut([attempt('visitors', '4'), attempt('home', '12')]), 'home')).toBe('visitors')
  })
  it('change who begins from round to round where the division says so', () => {
    const one = [attempt('home', '12'), attempt('visitors', '4')]
    expect(turnOf(shootOut(one, { flips_order: true }), 'home')).toBe('visitors')
    const two = [...one, attempt('visitors', '12'), attempt('home', '17')]
    expect(turnOf(shootOut(two, { flips_order: true }), 'home')).toBe('home')
    expect(roundOf(shootOut(two))).toEqual({ round: 3, regular: 3 })
  })
  it('leave attempts at a penalty shot out', () => {
    expect(turnOf(shootOut([{ ...attempt('home', '12'), on: 'penalty_shot' }]), 'home')).toBe('home')
  })
})

describe('the shooters', () => {
  const bars = (state: State) => shootersOf(state, 'home').map((one) => `${one.number}${one.bar && ` ${one.bar}`}${one.marked && ` (${one.marked})`}`)
  it('are the skaters of the side, nobody twice in the first rounds', () => {
    expect(bars(shootOut([attempt('home', '12')]))).toEqual(['12 shot', '17'])
    expect(bars(shootOut([attempt('home', '12'), attempt('home', '17'), attempt('home', '12')]))).toEqual(['12 (shot)', '17 (shot)'])
  })
  it('all shoot before anybody shoots again, where the division says so', () => {
    expect(bars(shootOut([attempt('home', '12'), attempt('home', '17')], { all_first: true, shooters: 1 }))).toEqual(['12 (shot)', '17 (shot)'])
    expect(bars(shootOut([attempt('home', '12'), attempt('home', '17'), attempt('home', '17')], { all_first: true, shooters: 1 }))).toEqual(['12 (shot)', '17 shot'])
  })
  it('are not those with time left in the box, or sent off', () => {
    const long = term({ id: 'a/0', start: momentAt(2, minute), end: momentAt(3, 11 * minute) })
    expect(bars(shootOut([], { bars_penalized: true }, { terms: [long] }))).toEqual(['12', '17 box'])
    expect(bars(shootOut([], {}, { terms: [long] }))).toEqual(['12', '17 (box)'])
    const call = { entry: 'b', moment: momentAt(2, minute), side: 'home' as const, player: '12', bench: false, call: '', parts: ['match' as const], charged_ms: 0, reasons: [] }
    expect(bars(shootOut([], {}, { calls: [call] }))).toEqual(['12 sent_off', '17'])
  })
  it('are not those who do not play today', () => {
    const state = shootOut([])
    state.teams[0].players = [{ number: '9', status: 'absent' }, { number: '8', status: 'affiliate' }, { number: '30', position: 'goalkeeper' }]
    expect(bars(state)).toEqual(['8'])
  })
})
