import type { AmendedBody, Double, Entry } from '../../base/contract/contract'
import type { LiveGame } from '../../game/live.svelte'

type Drafts = Pick<LiveGame, 'draft'>

/** What makes one entry of two: the first takes what the second knows more, and the second goes. */
export function mergeDrafts(game: Drafts, double: Double): Entry[] {
  const to = { kind: double.merged_kind, body: double.merged } as AmendedBody
  return [
    game.draft('amended', to, { of: double.first }),
    game.draft('struck', { reason: 'double' }, { of: double.second }),
  ]
}

/** What says that both are right. */
export function bothDrafts(game: Drafts, double: Double): Entry[] {
  return [game.draft('set_aside', { item: double.key })]
}

/** What puts a draft that is not posted into the entry that is there already. */
export function joinDrafts(game: Drafts, double: Double): Entry[] {
  return mergeDrafts(game, double).slice(0, 1)
}

/** The double that a preview notes between an entry of the ledger and one of the drafts, or null. */
export function doubleOf(doubles: Double[], known: (entry: string) => boolean): Double | null {
  return doubles.find((one) => known(one.first) && !known(one.second)) ?? null
}
