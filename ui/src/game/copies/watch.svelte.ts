import { untrack } from 'svelte'
import type { LiveGame } from '../live.svelte'
import { fetchFrom } from '../../base/transport/api'
import { Mirror } from './mirror.svelte'
import { browserShelf } from './shelf'

const afterPaint = 250 // milliseconds that a copy waits, so that it is never in the way of what people see
const latest = 2000 // milliseconds after which it waits for a quiet moment no longer

/** Does something when the page has nothing else to do, where the browser says when that is. */
function whenQuiet(act: () => void): void {
  setTimeout(() => {
    if ('requestIdleCallback' in globalThis) requestIdleCallback(act, { timeout: latest })
    else act()
  }, afterPaint)
}

/**
 * Keeps a copy of the game's ledger in this browser for as long as the page is
 * open. `started` is called with it when it was read back and checked.
 */
export function keepCopy(game: LiveGame, started: (mirror: Mirror) => void): () => void {
  const mirror = new Mirror(game.id, async (after) => (await fetchFrom(`/games/${game.id}/ledger.jsonl?after=${after}`)).text(), browserShelf())
  const stop = $effect.root(() => {
    $effect(() => {
      const seq = mirror.checked && game.stream.heard ? (game.state?.seq ?? 0) : 0
      if (game.revoked) untrack(() => void mirror.forget())
      else if (seq > 0) whenQuiet(() => void mirror.follow(seq))
    })
  })
  void mirror.open().then(() => started(mirror))
  return stop
}
