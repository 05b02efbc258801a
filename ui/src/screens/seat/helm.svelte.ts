import type { Entry, Side } from '../../base/contract/contract'
import { keepCopyLater } from '../../game/copies/later'
import type { Mirror } from '../../game/copies/mirror.svelte'
import { LiveGame } from '../../game/live.svelte'
import { keepAwake } from '../../base/transport/awake'
import { type Link, network } from '../../base/transport/link'
import type { SeatName } from '../../base/transport/seat'
import { readSession, type Session } from '../../base/transport/session'

/** What a person of this seat says: a kind of entry with its body. */
type Entering = Parameters<LiveGame['enter']>
type More = Parameters<LiveGame['draft']>[2]

/**
 * Helm is a seat's page without its looks: the game, which seat this is, and the
 * ways to post. A refusal is shown by the shell around the seat's screen, with
 * its reason, so a screen need not look at what its posts became.
 */
export class Helm {
  readonly game: LiveGame
  readonly seat: SeatName
  /** Of the Box seat; empty for both sides, and for every other seat. */
  readonly side: Side | ''
  readonly device: string
  readonly here: boolean
  /** The bench no longer knows this device as a seat. */
  gone = $state(false)
  /** The entries that this page made. */
  mine = $state.raw<string[]>([])
  /** The device that counts in this one's place, where two have a seat that counts; empty: this one does. */
  looksOn = $state('')
  /** The second copy of the ledger on this device; null until it was read back. */
  copy = $state.raw<Mirror | null>(null)

  constructor(session: Session & { seat: SeatName }, private readonly link: Link = network) {
    this.seat = session.seat
    this.side = session.side
    this.device = session.device
    this.here = session.here
    this.looksOn = session.looks_on ?? ''
    this.game = new LiveGame(session.game, {
      link, seat: session.seat, session: (now) => (this.looksOn = (now as Session).looks_on ?? ''),
    })
  }

  /** Opens the game, keeps a copy of its ledger and the screen on; the result ends it all. */
  open(): () => void {
    const close = this.game.open()
    const stop = keepCopyLater(this.game, 500, (mirror) => (this.copy = mirror))
    const sleep = keepAwake()
    return () => {
      close()
      stop()
      sleep()
    }
  }

  /** Posts one entry of the moment. The promise says whether the bench took it; it waits while the bench is not heard. */
  enter(kind: Entering[0], body: Entering[1], more: More = {}): Promise<boolean> {
    return this.post([this.game.draft(kind, body, more)])
  }

  /** Posts entries together, all or none. `saw` is the seq of the state from which an edit was begun. */
  post(entries: Entry[], saw = this.game.state?.seq ?? 0): Promise<boolean> {
    this.mine = [...this.mine, ...entries.map((entry) => entry.id)]
    return this.game.outbox.offer(entries, saw)
  }

  /** Asks the bench whether this is still a seat. Called whenever the bench is heard again. */
  async check(): Promise<void> {
    try {
      const now = await readSession(this.link)
      this.gone = !now.here && now.seat === ''
      this.looksOn = now.looks_on ?? ''
    } catch {
      // Not heard after all: the next time tells.
    }
  }
}
