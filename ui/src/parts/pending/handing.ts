import { ask, Refused } from '../../base/transport/api'
import type { Outbox } from '../../base/transport/outbox.svelte'

/**
 * Hands over what a device still had when its seat was taken away: a person at
 * the bench decides about it. Resolves to what the bench said against one, in
 * words; that one and those after it stay. Rejects while nobody answers.
 */
export async function handOver(game: string, outbox: Pick<Outbox, 'waiting' | 'forget'>): Promise<string> {
  for (let batch = outbox.waiting[0]; batch; batch = outbox.waiting[0]) {
    const { key, entries, saw } = batch
    try {
      await ask<object>(`/games/${game}/handed`, { entries, ...(saw > 0 ? { saw } : {}) })
    } catch (reason) {
      if (reason instanceof Refused) return reason.message
      throw reason
    }
    outbox.forget(key)
  }
  return ''
}
