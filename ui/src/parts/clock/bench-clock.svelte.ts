import type { Entry } from '../../base/contract/contract'
import type { Horn } from '../../base/sound/horn.svelte'
import { draft } from '../../base/transport/draft'
import { delayWords } from '../../base/words/game'
import { t } from '../../base/words/words'
import { enteredAtWhistle } from '../../game/clock/whistle'
import { EndWatch, TurnWatch } from '../../game/end'
import type { LiveGame } from '../../game/live.svelte'
import type { Posting } from '../../game/posting.svelte'

const endHorn = 2500 // milliseconds that the horn sounds when a clock has run out
const turnHorn = 1200 // milliseconds that it sounds to change players, where a division has that

/** BenchClock is the clock as the bench works it: run or read off the rink's board, put right, with the horn at its end. */
export class BenchClock {
  readonly game: LiveGame
  /** The form that puts the clock right is open. */
  setting = $state(false)
  /** The field for the time on the rink's board is in use. */
  readingBoard = $state(false)
  #ends = new EndWatch()
  #turns = new TurnWatch()

  constructor(private readonly posting: Posting, readonly horn: Horn) {
    this.game = posting.game
  }

  /** Whether the board is official and its time is typed instead of the clock being run. */
  readonly follows: boolean = $derived.by(() => this.game.state?.bench.clock === 'follow' && this.game.now.play)

  /** Whether whistles leave the clock alone now. */
  readonly runsOn: boolean = $derived.by(() => (this.game.state?.bench.running_time ?? false) && this.game.reading.running && this.game.now.play)

  /** The delay in words with its clock, or null: new words once a second, not with every frame. */
  readonly delayText: string | null = $derived.by(() => this.game.delay && delayWords(this.game.delay))

  /** What is left of a time-out in whole seconds, as milliseconds; null when there is none. */
  readonly timeOut: number | null = $derived.by(() => {
    const { timeOut } = this.game
    return timeOut === null ? null : Math.ceil(timeOut / 1000) * 1000
  })

  /** Called in every frame: the horn at zero, and where players change by it. */
  look(): void {
    const { state, reading } = this.game
    if (!state) return
    this.horn.near(reading.running)
    const { kind, number = 0 } = state.stage
    if (this.#ends.look(`${kind}${number}`, reading.running, reading.over)) this.horn.press(endHorn)
    const every = state.division.clock?.horn_every_ms ?? 0
    if (every > 0 && this.#turns.look(every, this.game.now, reading)) this.horn.press(turnHorn)
  }

  /** The start and stop control, or what stands in its place. */
  press(event: Event): void {
    if (this.follows) this.readingBoard = true
    else if (this.runsOn) this.posting.message = t('clock.running_time.goes_on')
    else this.game.pressClock(event)
  }

  /** Stops the clock of running time, which no whistle does. */
  stopRunning(event: Event): void { this.game.pressClock(event) }

  /** The drafts of a correction, and with `moves` of what was entered at the whistle. `left` in milliseconds. */
  drafts(left: number, moves: boolean): Entry[] {
    const body = { elapsed_ms: Math.max(0, Math.round(this.game.clock.length_ms - left)), ...(moves ? { moves } : {}) }
    return [draft({ game: this.game.id, kind: 'clock_set', body, wall: this.game.time.now() })]
  }

  set(drafts: Entry[]): void {
    this.setting = false
    this.posting.post(drafts)
  }

  /** Gives a stopped clock so many milliseconds back: it was stopped later than the whistle. */
  back(ms: number): void {
    const { state, reading } = this.game
    if (state) this.set(this.drafts(Math.min(this.game.clock.length_ms, reading.left + ms), enteredAtWhistle(state) > 0))
  }

  /** Takes the time that the rink's board shows, in milliseconds left. */
  readBoard(left: number): void {
    this.readingBoard = false
    this.posting.enter('board_read', { elapsed_ms: Math.max(0, this.game.clock.length_ms - left) })
  }

  runningTime(on: boolean): void { this.posting.enter('running_time', { on }) }
}
