import { t } from '../../words/words'
import type { HoldItem } from './ready'

/** One tap, or one key, at a reason to hold. */
export interface Act {
  hook: 'settle' | 'fill-in' | 'set-aside'
  label: string
  key: string // the digit that does it; empty beyond the ninth
  run: () => void
}

/** What the desk can do about a reason to hold. */
interface Doer {
  settle(item: HoldItem): void
  fillIn(entry: string): void
  setAside(key: string): void
}

/** The reasons to hold, each with what can be done about it, numbered through. */
export function withActs(items: HoldItem[], desk: Doer): { item: HoldItem; acts: Act[] }[] {
  let digit = 0
  return items.map((item) => {
    const acts: Act[] = []
    const add = (hook: Act['hook'], label: string, run: () => void) => {
      digit++
      acts.push({ hook, label, key: digit <= 9 ? String(digit) : '', run })
    }
    const { fill } = item
    if (item.yes || item.local) add('settle', item.label ?? t('edge.settle'), () => desk.settle(item))
    if (fill !== undefined) add('fill-in', t('edge.fill_in'), () => desk.fillIn(fill))
    if (item.away) add('set-aside', t('edge.set_aside'), () => desk.setAside(item.key))
    return { item, acts }
  })
}
