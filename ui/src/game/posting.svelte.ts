import type { Entry } from '../base/contract/contract'
import { Refused } from '../base/transport/api'
import { say, t } from '../base/words/words'
import type { LiveGame } from './live.svelte'

/** A kind of entry with what it says. */
type Entering = Parameters<LiveGame['enter']>

/** Posting is how the objects of a screen post to one game, and where they say what was refused. */
export class Posting {
  /** What the bench refused, or another thing to be read. */
  message = $state('')

  constructor(readonly game: LiveGame) {}

  /** Posts one entry of the moment. */
  enter(...[kind, body]: Entering): void {
    this.game.enter(kind, body).catch((reason: unknown) => this.refused(reason))
  }

  /** Posts entries together. */
  post(entries: Entry[]): void {
    this.game.post(entries).catch((reason: unknown) => this.refused(reason))
  }

  /** Shows why something was not taken. */
  readonly refused = (reason: unknown): void => {
    this.message = reason instanceof Refused
      ? [reason.message, ...reason.refused.map((one) => say(one.say))].filter((text, i, all) => all.indexOf(text) === i).join(' ')
      : t('post.failed')
  }
}
