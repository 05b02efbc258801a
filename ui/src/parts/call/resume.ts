import { way } from '../../base/transport/way'
import type { CallBuilder } from './builder.svelte'
import { builtBefore, keepBuilt } from './kept'

/** Goes on with what was built when the page was left. A practice begins anew with each page. */
export function resumeBuilt(game: string, builder: CallBuilder): void {
  const before = way.inside ? null : builtBefore(game, sessionStorage)
  if (before && !builder.busy) builder.resume(before)
}

/** Keeps what is built in case the page is loaded again. Called whenever it changes. */
export function rememberBuilt(game: string, builder: CallBuilder): void {
  if (!way.inside) keepBuilt(game, builder.kept, sessionStorage)
}
