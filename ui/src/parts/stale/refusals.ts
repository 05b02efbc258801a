import type { Refusing } from '../../base/transport/outbox.svelte'
import { say } from '../../base/words/words'

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
