import type { LiveGame } from '../../game/live.svelte'
import type { CallBuilder } from './builder.svelte'
import { builtBefore, keepBuilt } from './kept'

/** Goes on with what was built when the page was left. A practice begins anew with each page. */
export function resumeBuilt({ id, link }: LiveGame, builder: CallBuilder): void {
  const before = !link.can.keeps ? null : builtBefore(id, sessionStorage)
  if (before && !builder.busy) builder.resume(before)
}

/** Keeps what is built in case the page is loaded again. Called whenever it changes. */
export function rememberBuilt({ id, link }: LiveGame, builder: CallBuilder): void {
  if (link.can.keeps) keepBuilt(id, builder.kept, sessionStorage)
}
