import type { BenchSetBody, RinkCard } from '../../base/contract/contract'
import { Horn } from '../../base/sound/horn.svelte'
import type { Link } from '../../base/transport/link'
import type { SeatList } from '../../base/transport/seats'
import { keepCopyLater } from '../../game/copies/later'
import type { Mirror } from '../../game/copies/mirror.svelte'
import { LiveGame } from '../../game/live.svelte'
import { Posting } from '../../game/posting.svelte'
import { Composer } from '../../parts/call/composer.svelte'
import { resumeBuilt } from '../../parts/call/resume'
import { BenchClock } from '../../parts/clock/bench-clock.svelte'
import { benchWith } from '../../parts/manner/bench'
import { BenchSeats } from '../../parts/seats/seats.svelte'
import { SlotWatch } from '../../parts/slot/watch.svelte'
import { Todos } from '../../parts/todo/todos.svelte'
import { Whistle } from '../../parts/whistle/whistle.svelte'

/** Page is the bench's page without its looks: one game with its call, clock and whistle, and which of the sheets is open. */
export class Page {
  readonly game: LiveGame
  readonly posting: Posting
  readonly composer: Composer
  readonly clock: BenchClock
  readonly whistle: Whistle
  readonly todos: Todos
  readonly horn: Horn
  readonly slot: SlotWatch
  readonly seats: BenchSeats
  /** The second copy of the ledger in this browser; null until it was read back. */
  copy = $state.raw<Mirror | null>(null)
  showHelp = $state(false)
  showRosters = $state(false)
  showWork = $state(false)
  /** The row of the lanes whose reasons are shown. */
  whyRow = $state('')

  constructor(id: string, link: Link) {
    this.seats = new BenchSeats(id)
    this.game = new LiveGame(id, { link, seats: (list) => this.seats.take(list as SeatList) })
    this.posting = new Posting(this.game)
    this.horn = new Horn(id, () => link.horn?.())
    this.composer = new Composer(this.posting)
    this.clock = new BenchClock(this.posting, this.horn)
    this.whistle = new Whistle(this.posting, this.composer, this.clock, () => (this.showRosters = true))
    this.todos = new Todos(this.posting)
    this.slot = new SlotWatch(this.game, (change) => this.workAs(change))
  }

  /** Nothing is played and nothing is built: what comes next leads the page, and does not stand at the edge too. */
  readonly rests: boolean = $derived.by(() => {
    const { builder, active } = this.composer
    return this.game.state !== null && !this.game.now.play && this.game.state.stage.kind !== 'shoot_out' && !active && builder.current.kind === '' && builder.current.side === ''
  })

  open(): () => void {
    const { game } = this
    const close = game.open()
    resumeBuilt(game, this.composer.builder)
    const later = setTimeout(() => this.horn.prepare(), 400)
    if (game.link.can.seats) void this.seats.load()
    const stop = keepCopyLater(game, 1500, (mirror) => (this.copy = mirror))
    this.composer.learn()
    return () => {
      close()
      clearTimeout(later)
      stop()
      this.horn.close()
    }
  }

  /** Called in every frame. */
  look(): void {
    if (!this.game.state) return
    this.clock.look()
    this.composer.look()
    this.whistle.look()
  }

  /** Takes a rink card into use; null puts it away. */
  useCard(card: RinkCard | null): void { this.posting.enter('card_set', { card }) }

  /** Changes how the bench works. */
  workAs(change: Partial<BenchSetBody>): void {
    this.showWork = false
    const bench = this.game.state?.bench
    if (bench) this.posting.enter('bench_set', benchWith(bench, change))
  }
}
