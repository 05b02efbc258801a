import type { CardChecked, RinkCardForm } from '../../base/contract/contract'
import type { Engine } from '../engine'
import { askEngine } from '../ask'

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
  bench: boolean
}

const place = 'whistlestop.consoles'

/** The engine's own time does not matter to cards. */
const anyTime = 1_700_000_000_000

/** Cards keeps the rink cards of this browser, as far as they were filled in. */
export class Cards {
  own = $state.raw<OwnCard[]>(held())
  ready = $state.raw<ReadyCard[]>([])
  /** Whether the page comes from a bench that takes cards. */
  bench = $state(false)
  /** The browser has no room. */
  full = $state(false)

  constructor(private readonly engine: Engine) {}

  ask<T>(path: string, body?: unknown): Promise<T> {
    return askEngine<T>(this.engine, path, anyTime, body)
  }

  /** Finds the cards to copy. */
  async load(): Promise<void> {
    const { cards } = await this.ask<{ cards: { name: string; text: string }[] }>('/practice/cards')
    this.ready = cards.map((one) => ({ ...one, bench: false }))
    if (!location.protocol.startsWith('http')) return
    const listed = await fetch('/api/cards', { cache: 'no-store' }).then((answer) => (answer.ok ? answer.json() : null)).catch(() => null) as { cards: { id: string; rink: string; demo?: boolean }[] } | null
    if (!listed) return
    this.bench = true
    for (const one of listed.cards.filter((card) => !card.demo)) {
      const text = await fetch(`/api/cards/${one.id}.toml`).then((answer) => (answer.ok ? answer.text() : '')).catch(() => '')
      if (text !== '') this.ready = [...this.ready, { name: one.rink, text, bench: true }]
    }
  }

  find(id: string): OwnCard | undefined {
    return this.own.find((one) => one.id === id)
  }

  /** Begins a card from a file; an empty text is a blank one. Rejects with an Error for people. */
  async add(name: string, text: string): Promise<OwnCard> {
    const form = await this.ask<RinkCardForm>('/practice/cards/read', { name, text })
    // A copy is a card of its own: its id is made of the rink's name again.
    const id = name.endsWith('.toml') ? form.card.id : ''
    const one = { id: `c${this.own.reduce((most, card) => Math.max(most, Number(card.id.slice(1)) || 0), 0) + 1}`, form: { ...form, card: { ...form.card, id } }, text, faults: text === '' ? 1 : 0 }
    this.#keep([...this.own, one])
    return one
  }

  /** Keeps a card as it is filled in now, and says what there is to say of it. */
  async put(id: string, form: RinkCardForm): Promise<CardChecked> {
    const checked = await this.ask<CardChecked>('/practice/cards/check', form)
    this.#keep(this.own.map((one) => (one.id === id ? { id, form, text: checked.text, faults: checked.faults.length } : one)))
    return checked
  }

  remove(id: string): void {
    this.#keep(this.own.filter((one) => one.id !== id))
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

function held(): OwnCard[] {
  try {
    const list: unknown = JSON.parse(localStorage.getItem(place) ?? '[]')
    return Array.isArray(list) ? (list as OwnCard[]) : []
  } catch {
    return []
  }
}
