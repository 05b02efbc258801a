import type { Line, State } from '../../base/contract/contract'
import { builtFrom } from '../call/built'
import { inWords } from '../call/summary'
import { callName } from '../../base/words/words'
import type { Stop } from './stops'

/** A goal or a call in a few words, such as "Kelp Bay 17 Tripping". */
export function playWords(line: Line, state: State): string {
  const built = builtFrom(line)
  const calls = built?.call ? [{ id: built.call, name: callName(built.call), usual: [] }] : []
  return built ? inWords(built, state, calls) : ''
}

/** What was entered at a stop; empty for a whistle at which nothing was. */
export function playsWords(stop: Stop, state: State): string {
  return stop.plays.map((line) => playWords(line, state)).join('; ')
}
