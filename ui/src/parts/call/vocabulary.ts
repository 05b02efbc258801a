import type { Code, State } from '../../base/contract/contract'
import { callName } from '../../base/words/words'
import type { Vocabulary } from './grammar'

/** The calls of the game's book, with their names. */
export function callsOf(codes: Code[], state: State | null): Vocabulary['calls'] {
  const code = codes.find((one) => one.id === state?.info.code) ?? codes[0]
  return (code?.calls ?? []).map((call) => ({ ...call, name: callName(call.id) }))
}

/** The teams as they are typed. */
export function teamsOf(state: State | null): Vocabulary['teams'] {
  return (state?.teams ?? []).map(({ side, name, players }) => ({ side, name, numbers: players.map((one) => one.number) }))
}
