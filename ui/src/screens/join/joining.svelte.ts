import { ask, Refused, Unreachable } from '../../base/transport/api'
import type { Role } from '../../base/transport/seat'
import { t } from '../../base/words/words'

/** The letters of a code: the twenty that make no words and look like no digits. */
export const letters = [...'BCDFGHJKLMNPQRSTVWXZ']
const codeLength = 8
const polled = 40_000 // milliseconds: the bench keeps the question open for up to 25 s
const soon = 1000 // milliseconds between two questions
const later = 5000 // milliseconds after the bench said that it is asked too often

/** A wish that the bench has to decide. */
interface Wish extends Role {
  request: string
  secret: string
  game: string
  check: string
}

/** Where a wish stays while the page is reloaded: sessionStorage, or a stand-in. */
type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>

const shelfKey = 'whistlestop.wish'

/** What the joining page asks the bench. */
interface Asks {
  join: (body: { token?: string; code?: string; device: string }) => Promise<Wish>
  /** Resolves to false while the bench has not decided. */
  poll: (wish: Wish) => Promise<boolean>
}

const asks: Asks = {
  join: (body) => ask<Wish>('/join', body),
  poll: async (wish) => 'seat' in (await ask<object>(`/join/${wish.request}`, { secret: wish.secret }, { within: polled })),
}

/** Joining is the page on which a phone becomes a seat, without its looks. */
export class Joining {
  /** typing: a code is wanted. naming: the link has it. waiting: the bench decides. over: it will not happen. */
  step = $state<'typing' | 'naming' | 'waiting' | 'in' | 'over'>('typing')
  code = $state('')
  device = $state('')
  wish = $state.raw<Wish | null>(null)
  /** What went wrong, in words. */
  trouble = $state('')
  /** The bench does not answer; this page goes on asking. */
  silent = $state(false)
  busy = $state(false)
  #token: string
  #ended = false

  /** With a token or a whole code nothing is typed but the device's name. */
  constructor(token: string, device: string, private readonly shelf: Shelf, private readonly to: Asks = asks, code = '') {
    this.#token = token
    this.device = device
    this.code = code
    const kept = readWish(shelf)
    if (token !== '' || code !== '') this.step = 'naming'
    else if (kept) this.#wait(kept)
  }

  readonly ready: boolean = $derived.by(() =>
    this.device.trim() !== '' && !this.busy && (this.step === 'naming' || this.code.length === codeLength),
  )

  /** Takes a letter of the code; anything else is left out. */
  type(text: string): void {
    const typed = [...text.toUpperCase()].filter((one) => letters.includes(one)).join('')
    this.code = (this.code + typed).slice(0, codeLength)
    this.trouble = ''
  }

  back(): void {
    this.code = this.code.slice(0, -1)
    this.trouble = ''
  }

  /** Asks the bench to let this device in. */
  async go(): Promise<void> {
    if (!this.ready) return
    this.busy = true
    this.trouble = ''
    const device = this.device.trim()
    try {
      this.#wait(await this.to.join(this.#token === '' ? { code: this.code, device } : { token: this.#token, device }))
    } catch (reason) {
      this.trouble = reason instanceof Refused ? reason.message : t('app.unreachable')
      if (reason instanceof Unreachable) return
      // A link that was used, or is too old, will not do any more; a code can still be typed.
      this.#token = ''
      this.code = ''
      this.step = 'typing'
    } finally {
      this.busy = false
    }
  }

  /** A new code was scanned in the same tab: what was wanted before is over. */
  scanned(token: string): void {
    this.again()
    this.#token = token
    this.step = 'naming'
  }

  /** Begins again with a code to be typed. */
  again(): void {
    this.shelf.removeItem(shelfKey)
    this.wish = null
    this.trouble = ''
    this.code = ''
    this.#token = ''
    this.step = 'typing'
  }

  close(): void {
    this.#ended = true
  }

  #wait(wish: Wish): void {
    this.wish = wish
    this.step = 'waiting'
    this.shelf.setItem(shelfKey, JSON.stringify(wish))
    void this.#poll(wish)
  }

  async #poll(wish: Wish): Promise<void> {
    while (!this.#ended && this.wish === wish) {
      let pause = soon
      try {
        const decided = await this.to.poll(wish)
        this.silent = false
        if (decided) {
          this.shelf.removeItem(shelfKey)
          this.step = 'in'
          return
        }
      } catch (reason) {
        this.silent = !(reason instanceof Refused)
        if (reason instanceof Refused && reason.status === 429) pause = later
        else if (reason instanceof Refused && this.wish === wish) {
          this.shelf.removeItem(shelfKey)
          this.trouble = reason.message
          this.step = 'over'
          return
        }
      }
      await new Promise((resolve) => setTimeout(resolve, pause))
    }
  }
}

function readWish(shelf: Shelf): Wish | null {
  try {
    return JSON.parse(shelf.getItem(shelfKey) ?? 'null') as Wish | null
  } catch {
    return null
  }
}

/** What a device calls itself before a person has named it. */
export function deviceName(agent: string): string {
  if (/iPhone/.test(agent)) return t('join.device.iphone')
  if (/iPad/.test(agent)) return t('join.device.tablet')
  if (/Android/.test(agent)) return t(/Mobile/.test(agent) ? 'join.device.phone' : 'join.device.tablet')
  return t('join.device.computer')
}
