import type { Own, OwnTaken } from '../base/contract/contract'
import { askEngine } from './ask'
import type { Engine } from './engine'

declare global {
  /** What own.js leaves behind: what an association put into its site; null or nothing: it put nothing. */
  var whistlestopOwn: Own | null | undefined
}

/** What of it practice can use. */
export const own: { taken: OwnTaken | undefined; why: string } = { taken: undefined, why: '' }

/** Hands the engine what the association put into the site. What cannot be used is said on the menu; the rest works. */
export async function takeOwn(engine: Engine): Promise<void> {
  const put = globalThis.whistlestopOwn
  if (!put) return
  try {
    own.taken = await askEngine<OwnTaken>(engine, '/practice/own', 1_700_000_000_000, put)
  } catch (reason) {
    own.why = reason instanceof Error ? reason.message : String(reason)
  }
}
