import type { Attempt, Jersey, Side, State } from '../../base/contract/contract'
import { playNow } from '../../game/lanes/play'

/** Why a player may not shoot now, or that the player may. */
type Bar = '' | 'box' | 'sent_off' | 'shot'

/** A player who could shoot. */
export interface Shooter {
  number: Jersey
  name: string
  bar: Bar
  marked: Bar // worth a look, but no bar in this division
}

/** The attempts of the shoot-out, in the order of posting. */
export function triesOf(state: State): Attempt[] {
  return state.book.attempts.filter((one) => one.on === 'shoot_out')
}

/**
 * Whose turn it is. `first` shot first or will; in some divisions the other side
 * begins the next round. Whoever is behind in tries catches up.
 */
export function turnOf(state: State, first: Side): Side {
  const tries = triesOf(state)
  const began = tries[0]?.side ?? first
  const home = tries.filter((one) => one.side === 'home').length
  const visitors = tries.length - home
  if (home !== visitors) return home < visitors ? 'home' : 'visitors'
  const flips = state.division.shoot_out.flips_order === true && home % 2 === 1
  return flips ? other(began) : began
}

/** The round that is shot, from 1, and how many are shot before it is sudden death. */
export function roundOf(state: State): { round: number; regular: number } {
  const tries = triesOf(state)
  const home = tries.filter((one) => one.side === 'home').length
  return { round: Math.min(home, tries.length - home) + 1, regular: state.division.shoot_out.shooters }
}

/**
 * The players of a side who could shoot, goalkeepers left out. In the first
 * rounds nobody shoots twice (common practice, no source); after that only where
 * a division has everybody shoot first.
 */
export function shootersOf(state: State, side: Side): Shooter[] {
  const rule = state.division.shoot_out
  const { abs } = playNow(state, state.clock.elapsed_ms)
  const boxed = new Set(state.terms.filter((one) => one.side === side && one.end.abs_ms > abs && one.ended === 'time' && !one.bench).map((one) => one.player))
  const off = new Set(state.calls.filter((one) => one.side === side && one.parts.some((part) => part === 'game_misconduct' || part === 'match')).map((one) => one.player))
  const players = (state.teams.find((one) => one.side === side)?.players ?? [])
    .filter((one) => one.number !== '' && !one.goalkeeper && one.position !== 'goalkeeper' && (!one.status || one.status === 'affiliate'))
  const tried = triesOf(state).filter((one) => one.side === side).map((one) => one.player)
  const free = players.filter((one) => !off.has(one.number) && !(rule.bars_penalized && boxed.has(one.number))).length
  const lap = rule.all_first && free > 0 ? Math.floor(tried.length / free) : 0
  return players.map((one) => {
    const times = tried.filter((number) => number === one.number).length
    const shot = rule.all_first ? times > lap : tried.length < rule.shooters && times > 0
    const bar: Bar = off.has(one.number) ? 'sent_off' : boxed.has(one.number) && rule.bars_penalized ? 'box' : shot ? 'shot' : ''
    const marked: Bar = bar !== '' ? '' : boxed.has(one.number) ? 'box' : times > 0 ? 'shot' : ''
    return { number: one.number, name: one.name ?? '', bar, marked }
  })
}

export function other(side: Side): Side {
  return side === 'home' ? 'visitors' : 'home'
}
