import type { RinkCard } from '../../base/contract/contract'
import { Refused } from '../../base/transport/api'
import type { Link } from '../../base/transport/link'
import { inLanguage } from '../../base/words/language'
import { language, t } from '../../base/words/words'

/** A rink card in the list; `card` is what an entry of the kind card_set takes. */
export interface CardFile {
  id: string
  rink: string
  demo?: boolean
  card: RinkCard
}

/** The cards that can be taken into use, and the files that cannot be read, with the reason. */
export interface CardList {
  cards: CardFile[]
  damaged: { file: string; why: string }[]
}

const patience = 8000 // milliseconds

/** Lists the rink cards. Rejects when the bench does not answer. */
export async function listCards(link: Link): Promise<CardList> {
  const answer = await link.fetch('/cards', { headers: { 'accept-language': language() }, cache: 'no-store', signal: AbortSignal.timeout(patience) })
  if (!answer.ok) throw new Error(answer.statusText)
  return (await answer.json()) as CardList
}

/** Keeps a card file on the bench's machine. Rejects with Refused, whose message names line and reason. */
export async function keepCard(link: Link, file: Blob): Promise<CardFile> {
  const answer = await link.fetch('/cards', {
    method: 'POST', headers: { 'content-type': 'text/plain', 'accept-language': language() }, body: await file.text(), signal: AbortSignal.timeout(patience),
  })
  if (answer.ok) return (await answer.json()) as CardFile
  const problem = (await answer.json().catch(() => ({}))) as { title?: string; detail?: string }
  throw new Refused(answer.status, problem.title ?? answer.statusText, problem.detail ?? t('cards.lost'), [])
}

/** Where a card is printed as one page. */
export function cardPage(id: string, paper: 'a4' | 'letter'): string {
  return inLanguage(`/api/cards/${id}.pdf?paper=${paper}`)
}
