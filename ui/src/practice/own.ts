import type { Own, OwnTaken } from '../base/contract/contract'
import { askEngine } from './ask'
import { packed, unpacked } from '../base/transport/packed'
import type { Engine } from './engine'

declare global {
  /** What own.js leaves behind: what an association put into its site; null or nothing: it put nothing. */
  var whistlestopOwn: Own | null | undefined
}

/** What of it practice can use, whether some of it came by a link, and what cannot be used. */
export const own: { taken: OwnTaken | undefined; linked: boolean; why: string } = { taken: undefined, linked: false, why: '' }

const place = 'whistlestop.ours'
const most = 1024 * 1024 // bytes of what a link brings: a small link must not fill the memory
const anyTime = 1_700_000_000_000 // the engine's own time does not matter to files

/** Hands the engine what the association put into the site, and what came by a link. What cannot be used is said on the menu; the rest works. */
export async function takeOwn(engine: Engine): Promise<void> {
  own.why = ''
  own.taken = undefined
  const linked = kept()
  own.linked = linked !== undefined
  const put = together(globalThis.whistlestopOwn ?? undefined, linked)
  if (!put) return
  try {
    own.taken = await take(engine, put)
  } catch (reason) {
    own.why = reason instanceof Error ? reason.message : String(reason)
  }
}

/** The link that has an association's own in it: whoever opens it has that, with nothing to choose. Rejects with an Error for people where it cannot be used. */
export async function oursLink(engine: Engine, ours: Own): Promise<string> {
  try {
    await take(engine, ours)
  } finally {
    await takeOwn(engine) // what was here before is what counts here
  }
  return `#ours/${await packed(JSON.stringify(ours))}`
}

/** Takes what a link brings, and keeps it in this browser in place of what an earlier link brought. Rejects where it cannot be used; then the earlier one stays. */
export async function openOurs(engine: Engine, data: string): Promise<void> {
  const ours = ownOf(JSON.parse(await unpacked(data, most)))
  await take(engine, ours)
  try {
    localStorage.setItem(place, JSON.stringify(ours))
  } catch {
    // A browser that keeps nothing: the address has it, until another page is opened.
  }
  await takeOwn(engine)
  if (!own.linked) own.taken = await take(engine, ours)
}

/** Forgets what came by a link. The site's own stays. */
export function forgetOurs(): void {
  try {
    localStorage.removeItem(place)
  } catch {
    // Nothing is kept there.
  }
}

function take(engine: Engine, put: Own): Promise<OwnTaken> {
  return askEngine<OwnTaken>(engine, '/practice/own', anyTime, put)
}

function kept(): Own | undefined {
  try {
    const text = localStorage.getItem(place)
    return text === null ? undefined : ownOf(JSON.parse(text))
  } catch {
    return undefined
  }
}

/** The site's own and a link's; where both have a file of one name, the link's. */
function together(site: Own | undefined, link: Own | undefined): Own | undefined {
  if (!site || !link) return link ?? site
  const both = (part: keyof Own) => [...link[part], ...site[part].filter((one) => !link[part].some((other) => other.name === one.name))]
  return { cards: both('cards'), divisions: both('divisions'), scripts: both('scripts') }
}

/** Only names and texts go on: the engine says what of them can be used. */
function ownOf(read: unknown): Own {
  const files = (part: string) => {
    const list: unknown = (read as Record<string, unknown> | null)?.[part]
    return (Array.isArray(list) ? list : []).flatMap((one: { name?: unknown; text?: unknown } | null) =>
      typeof one?.name === 'string' && typeof one.text === 'string' ? [{ name: one.name, text: one.text }] : [])
  }
  return { cards: files('cards'), divisions: files('divisions'), scripts: files('scripts') }
}
