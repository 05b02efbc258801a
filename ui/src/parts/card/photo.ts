import type { KeyMark, RinkCard } from '../../base/contract/contract'
import type { Link } from '../../base/transport/link'

/** The photo of a console, with what was marked on it. */
export interface Photo {
  src: string // as the address of an image
  marks: KeyMark[]
  display: KeyMark | undefined
}

/** The photo of the console of a card that is kept on the bench; undefined: there is none, or the bench is out of reach. */
export async function photoOf(link: Link, id: string): Promise<Photo | undefined> {
  try {
    const listed = await link.fetch('/cards', {})
    if (!listed.ok) return undefined
    const { cards } = (await listed.json()) as { cards: { id: string; picture?: boolean; card: RinkCard }[] }
    const found = cards.find((one) => one.id === id)
    if (!found?.picture) return undefined
    const answer = await link.fetch(`/cards/${id}.jpg`, {})
    if (!answer.ok) return undefined
    return { src: await addressOf(await answer.blob()), marks: found.card.console?.marks ?? [], display: found.card.console?.display }
  } catch {
    return undefined // the card's words are there all the same
  }
}

/** A file as the address of an image, which the page's policy lets through. */
function addressOf(file: Blob): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader()
    reader.onload = () => resolve(reader.result as string)
    reader.onerror = () => reject(reader.error ?? new Error(file.type))
    reader.readAsDataURL(file)
  })
}
