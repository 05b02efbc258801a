import type { LiveGame } from '../live.svelte'
import type { Mirror } from './mirror.svelte'

/**
 * Begins to keep a copy of the game's ledger `wait` milliseconds from now, so that
 * neither the code for it nor its questions are in the way of the first picture.
 * The result ends it. Nothing is kept over a link that has no copies.
 */
export function keepCopyLater(game: LiveGame, wait: number, started: (mirror: Mirror) => void): () => void {
  let stop: (() => void) | undefined
  let closed = false
  if (!game.link.can.copies) return () => undefined
  const timer = setTimeout(() => {
    import('./watch.svelte')
      .then(({ keepCopy }) => {
        if (!closed) stop = keepCopy(game, started)
      })
      .catch(() => undefined) // the page goes on without a copy, and says that it has none
  }, wait)
  return () => {
    closed = true
    clearTimeout(timer)
    stop?.()
  }
}
