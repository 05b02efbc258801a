import type { CardChecked, RinkCardForm } from '../../base/contract/contract'
import type { Engine } from '../engine'
import { askEngine } from '../ask'
import { cutPicture, joinPicture } from './picture'

/** A card that is made or changed in this browser. */
export interface OwnCard {
  id: string // of the browser, not of the card: a card may be renamed
  form: RinkCardForm
  text: string // the file; empty while there is something to put right
  faults: number
}

/** A card that can be copied: of the program, or of the bench that serves this page. */
export interface ReadyCard {
  name: string
  text: string
  picture: string // a JPEG in base64; empty: none
  bench: boolean
  own: boolean // of the association that wrote the site
}

/** Where the picture of a card is kept in this browser: apart from the card, which is written with every letter. */
const picturePlace = (id: string) => `whistlestop.consoles.picture.${id}`

const place = 'whistlestop.consoles'

/** The engine's own time does not matter to cards. */
const anyTime = 1_700_000_000_000

/** Cards keeps the rink cards of this browser, as far as they were filled in. */
export class Cards {
  own = $state.raw<OwnCard[]>(held())
  ready = $state.raw<ReadyCard[]>([])
  /** The pictures of own cards, each a JPEG in base64. */
  pictures = $state.raw<Record<string, string>>(heldPictures(this.own))
  /** Whether the page comes from a bench that takes cards. */
  bench = $state(false)
  /** The browser has no room. */
  full = $state(false)

  constructor(readonly engine: Engine) {}

  ask<T>(path: string, body?: unknown): Promise<T> {
    return askEngine<T>(this.engine, path, anyTime, body)
  }

  /** Finds the cards to copy. */
  async load(): Promise<void> {
    const { cards } = await this.ask<{ cards: { name: string; text: string; own?: boolean }[] }>('/practice/cards')
    this.ready = cards.map((one) => ({ ...cutPicture(one.text), name: one.name, bench: false, own: one.own ?? false }))
    if (!location.protocol.startsWith('http')) return
    const listed = await fetch('/api/cards', { cache: 'no-store' }).then((answer) => (answer.ok ? answer.json() : null)).catch(() => null) as { cards: { id: string; rink: string; demo?: boolean }[] } | null
    if (!listed) return
    this.bench = true
    for (const one of listed.cards.filter((card) => !card.demo)) {
      const text = await fetch(`/api/cards/${one.id}.toml`).then((answer) => (answer.ok ? answer.text() : '')).catch(() => '')
      if (text !== '') this.ready = [...this.ready, { ...cutPicture(text), name: one.rink, bench: true, own: false }]
    }
  }

  find(id: string): OwnCard | undefined {
    return this.own.find((one) => one.id === id)
  }

  /** Begins a card from a file, which may carry its picture; an empty text is a blank one. Rejects with an Error for people. */
  async add(name: string, file: string): Promise<OwnCard> {
    const { picture = '', ...form } = await this.ask<RinkCardForm>('/practice/cards/read', { name, text: file })
    const { text } = cutPicture(file)
    // A copy is a card of its own: its id is made of the rink's name again.
    const id = name.endsWith('.toml') ? form.card.id : ''
    const one = { id: `c${this.own.reduce((most, card) => Math.max(most, Number(card.id.slice(1)) || 0), 0) + 1}`, form: { ...form, card: { ...form.card, id } }, text, faults: text === '' ? 1 : 0 }
    this.#keep([...this.own, one])
    if (picture !== '') this.draw(one.id, picture)
    return one
  }

  /** Says what there is to say of a card with its picture, and keeps nothing. */
  look(form: RinkCardForm, picture = ''): Promise<CardChecked> {
    return this.ask<CardChecked>('/practice/cards/check', picture === '' ? form : { ...form, picture })
  }

  /** Keeps a card as it is filled in now, at once, and says what there is to say of it. */
  async put(id: string, form: RinkCardForm): Promise<CardChecked> {
    this.#keep(this.own.map((one) => (one.id === id ? { ...one, form } : one)))
    const checked = await this.look(form, this.pictures[id])
    // Somebody may have typed on meanwhile: that was kept, and its own check is on its way.
    this.#keep(this.own.map((one) => (one.id === id && one.form === form ? { id, form, text: checked.text, faults: checked.faults.length } : one)))
    return checked
  }

  remove(id: string): void {
    this.draw(id, '')
    this.#keep(this.own.filter((one) => one.id !== id))
  }

  /** Keeps the picture of a card, or none. */
  draw(id: string, picture: string): void {
    this.pictures = { ...this.pictures, [id]: picture }
    try {
      if (picture === '') localStorage.removeItem(picturePlace(id))
      else localStorage.setItem(picturePlace(id), picture)
      this.full = false
    } catch {
      this.full = true
    }
  }

  #keep(own: OwnCard[]): void {
    this.own = own
    try {
      localStorage.setItem(place, JSON.stringify(own))
      this.full = false
    } catch {
      this.full = true
    }
  }
}

/** The cards that were made in this browser and have nothing left to put right, as files with their pictures. */
export function madeCards(): { rink: string; text: string }[] {
  const own = held().filter((one) => one.text !== '')
  const pictures = heldPictures(own)
  return own.map((one) => ({ rink: one.form.card.rink, text: joinPicture(one.text, pictures[one.id] ?? '') }))
}

function heldPictures(own: OwnCard[]): Record<string, string> {
  try {
    return Object.fromEntries(own.map((one) => [one.id, localStorage.getItem(picturePlace(one.id)) ?? '']))
  } catch {
    return {}
  }
}

function held(): OwnCard[] {
  try {
    const list: unknown = JSON.parse(localStorage.getItem(place) ?? '[]')
    return Array.isArray(list) ? (list as OwnCard[]) : []
  } catch {
    return []
  }
}
