import type { BoardLamp } from '../../base/contract/contract'
import { say } from '../../base/words/words'

/** Lamps in one line: "home lamp lit, bench lamp dark". */
export function lampWords(lamps: BoardLamp[]): string {
  return lamps.map(({ name, lit }) => say({ key: lit ? 'card.lamp.lit' : 'card.lamp.dark', args: { lamp: name } })).join(', ')
}

/** What the board shows of its lamps when a step is done: "Board: home lamp lit". Nothing where the card says nothing of them. */
export function lampsOf(step: { lamps?: BoardLamp[] }): string {
  return step.lamps?.length ? say({ key: 'card.lamps', args: { lamps: lampWords(step.lamps) } }) : ''
}
