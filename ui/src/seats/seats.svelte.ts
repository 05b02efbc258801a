import { Refused } from '../link/api'
import { type Invite, type Role, type SeatList, type SeatRequest, seatsApi } from '../link/seats'
import { t } from '../words/words'

/** BenchSeats is the seats of a game as the bench sees them: who is invited, who asks, who sits. */
export class BenchSeats {
  list = $state.raw<SeatList>({ invites: [], requests: [], sessions: [] })
  /** The invite that is shown, with its secrets. */
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
    if (this.shown && !list.invites.some((one) => one.id === this.shown?.id)) this.shown = null
  }

  async invite(role: Role): Promise<void> {
    await this.#do(async () => {
      const old = this.shown
      const invite = await seatsApi.invite(this.game, role)
      if (old) await seatsApi.withdraw(this.game, old.id).catch(() => undefined)
      await this.#ask(() => seatsApi.list(this.game))
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
