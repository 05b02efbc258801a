import type { Entry, State } from '../../base/contract/contract'
import { kindOf } from '../history/ledger'
import { momentWords, versionWords } from '../history/words'
import type { Stale } from '../../base/transport/api'
import { ulid } from '../../base/transport/ulid'
import { t } from '../../base/words/words'
import type { LiveGame } from '../../game/live.svelte'

/** What an edit makes of an entry, in words. */
export function editWords(edit: Entry, state: State): string {
  if (edit.type === 'whistlestop.struck.v1') return t('stale.struck')
  if (edit.type !== 'whistlestop.amended.v1') return kindOf(edit)
  const { at, body } = edit.data
  return [versionWords(body, state), momentWords(at, state)].filter(Boolean).join(', ') || t('stale.changed')
}

/**
 * The same entries once more, made anew on top of what came first. Where that
 * took the entry out of the game, it is brought back before it is changed.
 */
export function mineAgain(game: Pick<LiveGame, 'draft'>, entries: Entry[], stale: Stale, now: number): Entry[] {
  const back = stale.theirs.type === 'whistlestop.struck.v1' && stale.theirs.of === stale.of && stale.yours.type !== 'whistlestop.struck.v1'
  const again = entries.map((entry): Entry => ({ ...entry, id: ulid(), time: new Date(now).toISOString() }))
  return back ? [game.draft('struck', {}, { of: stale.theirs.id, wall: now }), ...again] : again
}
