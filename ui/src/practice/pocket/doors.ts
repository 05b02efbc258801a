import { network } from '../../base/transport/link'

/** Where the address of a page of the bench leads on this site, as a part behind the #; undefined: nowhere. */
function hashFor(address: string): string | undefined {
  const [path = ''] = address.split('?')
  if (path === '/') return '#game'
  const [, hash] = /^\/practice\/(#.*)$/.exec(address) ?? []
  if (hash !== undefined) return hash.startsWith('#replay/') ? `${hash}/here` : hash
  const [, page, game] = /^\/(bench|report|wall)\/(\w{26})$/.exec(path) ?? []
  if (!game) return undefined
  if (page === 'wall') return `#wall/${game}`
  return page === 'bench' ? `#game/${game}` : `#game/${game}/report`
}

/**
 * Opens what a link of the bench's pages leads to: a page of this site, or a file that is saved or shared. Tells
 * `said` why a file is not handed out; empty: nothing is wrong.
 */
export function openDoor(event: MouseEvent, said: (why: string) => void): void {
  const link = event.target instanceof Element ? event.target.closest('a') : null
  const address = link?.getAttribute('href') ?? ''
  if (!address.startsWith('/')) return
  event.preventDefault()
  const hash = hashFor(address)
  if (hash?.startsWith('#wall/')) openWall(hash)
  else if (hash !== undefined) location.hash = hash
  else if (address.startsWith('/api/') && link?.ariaBusy !== 'true') void handByLink(link, address.slice('/api'.length), said)
}

/** Hands out a file that may be long in coming: its link says so meanwhile. */
async function handByLink(link: Element | null, path: string, said: (why: string) => void): Promise<void> {
  said('')
  link?.setAttribute('aria-busy', 'true')
  await hand(path, said).finally(() => link?.removeAttribute('aria-busy'))
}

/** Opens the Wall in a window of its own, which is moved to the other screen of the device where the browser may do that. */
function openWall(hash: string): void {
  const more = 'isExtended' in screen && screen.isExtended === true
  // Asked before the window is opened, which uses the click up. The browser may ask somebody whether the page may
  // know of screens; without that the window is moved by hand.
  const other = more ? otherScreen() : Promise.resolve(undefined)
  const wall = window.open(hash, 'whistlestop-wall', more ? 'popup' : '')
  void other.then((found) => wall && found && fill(wall, found), () => undefined)
}

/** A screen as the Window Management API has it. */
type DetailedScreen = Pick<Screen, 'availWidth' | 'availHeight'> & { availLeft: number; availTop: number }

async function otherScreen(): Promise<DetailedScreen | undefined> {
  const { getScreenDetails } = window as Window & { getScreenDetails?: () => Promise<{ screens: DetailedScreen[]; currentScreen: DetailedScreen }> }
  const details = await getScreenDetails?.call(window)
  return details?.screens.find((one) => one !== details.currentScreen)
}

function fill(wall: Window, { availLeft, availTop, availWidth, availHeight }: DetailedScreen): void {
  wall.moveTo(availLeft, availTop)
  wall.resizeTo(availWidth, availHeight)
}

/**
 * Hands a file of the bench to the person: to the share sheet of a phone, or saved. False: the person closed it, or
 * `failed` was told why there is none.
 */
export async function hand(path: string, failed: (why: string) => void = () => {}): Promise<boolean> {
  const answer = await network.fetch(path, {})
  if (!answer.ok) {
    const { title, detail } = (await answer.json()) as { title: string; detail?: string }
    failed(detail || title)
    return false
  }
  const media = (answer.headers.get('content-type') ?? '').split(';')[0] ?? ''
  const name = answer.headers.get('x-name') || `${path.split('/')[2] ?? 'game'}.jsonl`
  const file = new File([await answer.blob()], name, { type: media })
  const shared = { files: [file] }
  if (matchMedia('(pointer: coarse)').matches && 'canShare' in navigator && navigator.canShare(shared)) {
    const ended = await navigator.share(shared).then(() => 'shared', (reason: unknown) => (reason instanceof DOMException ? reason.name : ''))
    // A browser shares soon after the tap only: what took longer is saved.
    if (ended !== 'NotAllowedError') return ended === 'shared'
  }
  const link = document.createElement('a')
  link.href = URL.createObjectURL(file)
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000)
  return true
}
