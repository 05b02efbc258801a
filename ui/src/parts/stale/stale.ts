import type { Entry, State } from '../../base/contract/contract'
import { kindOf } from '../history/ledger'
import { momentWords, versionWords } from '../history/words'
import type { Stale } from '../../base/transport/api'
import { ulid } from '../../base/transport/ulid'
import type { Refusing } from '../../base/transport/outbox.svelte'
import { say, t } from '../../base/words/words'
import type { LiveGame } from '../../game/live.svelte'

/** What the bench said against a batch, in words. */
export function reasonsOf({ why }: Refusing): string {
  const all = [why.message, ...why.refused.map((each) => say(each.say))]
  return all.filter((text, i) => all.indexOf(text) === i).join(' ')
}

/** Refusals by what is said: the same is said once, however often it was refused. An edit that came too late stands alone. */
export function refusalsOf(list: Refusing[]): { one: Refusing; keys: string[] }[] {
  const groups: { one: Refusing; keys: string[] }[] = []
  for (const one of list) {
    const same = one.why.stale ? undefined : groups.find((group) => !group.one.why.stale && reasonsOf(group.one) === reasonsOf(one))
    if (same) same.keys.push(one.batch.key)
    else groups.push({ one, keys: [one.batch.key] })
  }
  return groups
}

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
