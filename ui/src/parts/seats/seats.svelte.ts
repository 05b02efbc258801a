import { Refused } from '../../base/transport/api'
import type { Invite, Role } from '../../base/transport/seat'
import { type SeatList, type SeatRequest, seatsApi } from '../../base/transport/seats'
import { t } from '../../base/words/words'

/** BenchSeats is the seats of a game as the bench sees them: who is invited, who asks, who sits. */
export class BenchSeats {
  list = $state.raw<SeatList>({ invites: [], requests: [], sessions: [], handed: [] })
  /** The open invites that this page made, with their secrets: each stays open until it is used, withdrawn or over. */
  offers = $state.raw<Invite[]>([])
  /** The one of them that is shown large. */
  shown = $state.raw<Invite | null>(null)
  showing = $state(false)
  trouble = $state('')
  busy = $state(false)
  #told = 0 // lists that the stream has brought

  constructor(private readonly game: string) {}

  /** Asks for the list once; the stream tells every change. */
  async load(): Promise<void> {
    try {
      await this.#ask(() => seatsApi.list(this.game))
    } catch {
      // A page of another computer may not ask, and shows no seats.
    }
  }

  /** Takes the list from the stream. */
  take(list: SeatList): void {
    this.#told++
    this.#set(list)
  }

  /** Takes the list from an answer, unless the stream was faster: then that one is newer. */
  async #ask(question: () => Promise<SeatList>): Promise<void> {
    const told = this.#told
    const list = await question()
    if (told === this.#told) this.#set(list)
  }

  #set(list: SeatList): void {
    this.list = list
    // An invite that was used, withdrawn or is over has no code any more.
    this.offers = this.offers.filter((offer) => list.invites.some((one) => one.id === offer.id))
    if (this.shown && !this.offers.includes(this.shown)) this.shown = this.offers[this.offers.length - 1] ?? null
  }

  /** Offers a seat; an offer of it that is open is shown again, and once more makes a new one in its place. */
  async invite(role: Role): Promise<void> {
    const open = this.offers.find((one) => one.seat === role.seat && one.side === role.side)
    if (open && open !== this.shown) {
      this.shown = open
      return
    }
    await this.#do(async () => {
      const invite = await seatsApi.invite(this.game, role)
      if (open) await seatsApi.withdraw(this.game, open.id).catch(() => undefined)
      await this.#ask(() => seatsApi.list(this.game))
      this.offers = [...this.offers, invite]
      this.shown = invite
    })
  }

  withdraw(): Promise<void> {
    const { shown } = this
    return shown ? this.#change(() => seatsApi.withdraw(this.game, shown.id)) : Promise.resolve()
  }

  approve(request: SeatRequest): Promise<void> {
    return this.#change(() => seatsApi.approve(this.game, request.id, { seat: request.seat, side: request.side }))
  }

  refuse(request: SeatRequest): Promise<void> {
    return this.#change(() => seatsApi.refuse(this.game, request.id))
  }

  letCount(session: string): Promise<void> {
    return this.#change(() => seatsApi.letCount(this.game, session))
  }

  /** Takes what a device kept into the game, or leaves it out: one after another, up to the first that cannot be. */
  async decide(ids: string[], take: boolean): Promise<void> {
    for (const id of ids) {
      await this.#change(() => seatsApi.decide(this.game, id, take))
      if (this.trouble !== '') return
    }
  }

  revoke(session: string): Promise<void> {
    return this.#change(() => seatsApi.revoke(this.game, session))
  }

  #change(act: () => Promise<SeatList>): Promise<void> {
    return this.#do(() => this.#ask(act))
  }

  async #do(act: () => Promise<void>): Promise<void> {
    this.busy = true
    this.trouble = ''
    try {
      await act()
    } catch (reason) {
      this.trouble = reason instanceof Refused ? reason.message : t('app.unreachable')
    } finally {
      this.busy = false
    }
  }
}
