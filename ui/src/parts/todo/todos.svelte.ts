import { SvelteSet } from 'svelte/reactivity'
import '../../base/words/announce'
import type { LiveGame } from '../../game/live.svelte'
import type { Posting } from '../../game/posting.svelte'
import { painted } from '../../base/later/painted'
import { Announcements } from '../announce/announcements.svelte'
import { old, sorted } from '../announce/sorted'
import { shownOf, type Todo, todoList } from './todo'

/** Todos is what is left to do until the puck drops, with what was ticked here. */
export class Todos {
  readonly game: LiveGame
  readonly announcements: Announcements
  #done = new SvelteSet<string>()

  constructor(private readonly posting: Posting) {
    this.game = posting.game
    // What is too old to be said at a whistle stands in no list of it, and there is more of it with every goal.
    this.announcements = new Announcements(() => this.game.api.announcements(this.game.id, Math.floor(this.game.now.abs) - old))
  }

  /** Play stands at a whistle, where something may be left to do. */
  readonly stands: boolean = $derived.by(() => this.game.now.play && !this.game.reading.running)

  readonly list: Todo[] = $derived.by(() => {
    const { state, now, outbox } = this.game
    if (!state || !this.stands) return []
    const { due, said } = sorted(this.announcements.list, state, now, outbox.waiting.flatMap((batch) => batch.entries))
    // What was said at this whistle stays in the list, ticked.
    const fresh = said.filter((one) => this.#done.has(`say/${one.key}`))
    return todoList(state, now, [...fresh, ...due])
  })

  /** How many are left. */
  readonly left: number = $derived.by(() => this.list.filter((one) => !this.done(one)).length)

  /** What of it is shown: all, or where that is more than anybody reads, what comes first of what is left. */
  readonly shown: Todo[] = $derived.by(() => shownOf(this.list, (one) => this.done(one)))

  done({ key }: Todo): boolean {
    return this.#done.has(key)
  }

  /** Asks for the announcements of a whistle. Called whenever the game has changed. */
  want(): void {
    const { state } = this.game
    if (this.stands && state) painted(() => void this.announcements.want(state.seq))
  }

  /** Ticks a thing, or takes the tick back. What was announced is told to all seats. */
  tick(one: Todo): void {
    if (this.done(one) && one.what === undefined) this.#done.delete(one.key)
    else if (!this.done(one)) {
      this.#done.add(one.key)
      if (one.what !== undefined) this.posting.enter('announced', { what: one.what })
    }
  }
}
