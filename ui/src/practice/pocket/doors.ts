import { network } from '../../base/transport/link'

/** Where the address of a page of the bench leads on this site, as a part behind the #; undefined: nowhere. */
function hashFor(address: string): string | undefined {
  const [path = ''] = address.split('?')
  if (path === '/') return '#game'
  if (address.startsWith('/practice/#')) return address.slice('/practice/'.length)
  const [, page, game] = /^\/(bench|report|wall)\/(\w{26})$/.exec(path) ?? []
  if (!game) return undefined
  if (page === 'wall') return `#wall/${game}`
  return page === 'bench' ? `#game/${game}` : `#game/${game}/report`
}

/** Opens what a link of the bench's pages leads to: a page of this site, or a file that is saved or shared. */
export function openDoor(event: MouseEvent): void {
  const link = event.target instanceof Element ? event.target.closest('a') : null
  const address = link?.getAttribute('href') ?? ''
  if (!address.startsWith('/')) return
  event.preventDefault()
  const hash = hashFor(address)
  if (hash?.startsWith('#wall/')) window.open(hash, 'whistlestop-wall')
  else if (hash !== undefined) location.hash = hash
  else if (address.startsWith('/api/')) void hand(address.slice('/api'.length))
}

/** Hands a file of the bench to the person: to the share sheet of a phone, or saved. False: the person closed it. */
export async function hand(path: string): Promise<boolean> {
  const answer = await network.fetch(path, {})
  if (!answer.ok) return false
  const media = (answer.headers.get('content-type') ?? '').split(';')[0] ?? ''
  const name = answer.headers.get('x-name') || `${path.split('/')[2] ?? 'game'}.jsonl`
  const file = new File([await answer.blob()], name, { type: media })
  const shared = { files: [file] }
  if (matchMedia('(pointer: coarse)').matches && 'canShare' in navigator && navigator.canShare(shared)) {
    return navigator.share(shared).then(() => true, () => false)
  }
  const link = document.createElement('a')
  link.href = URL.createObjectURL(file)
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000)
  return true
}
