import type { Entry } from '../../base/contract/contract'
import type { Link } from '../../base/transport/link'
import { fetchFrom } from '../../base/transport/api'

/** Reads the whole ledger of a game, oldest entry first. Rejects when the bench cannot be asked. */
export async function readLedger(game: string, over: Link): Promise<Entry[]> {
  const answer = await fetchFrom(`/games/${game}/ledger.jsonl?texts=inside`, undefined, { over })
  return (await answer.text()).split('\n').filter(Boolean).map((line) => JSON.parse(line) as Entry)
}

/** The kind of an entry, from its type: "whistlestop.goal.v1" is a goal. */
export function kindOf(entry: Entry): string {
  return entry.type.replace(/^whistlestop\./, '').replace(/\.v\d+$/, '')
}
