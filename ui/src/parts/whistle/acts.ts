import type { Item, Question } from '../../base/contract/contract'
import { say, t } from '../../base/words/words'
import type { HoldItem, Missing } from './ready'

/** One tap, or one key, at something to settle. */
export interface Act {
  id: string // its own among the acts of a row
  hook: 'settle' | 'settle-all' | 'fill-in' | 'pick' | 'add-player' | 'set-aside'
  label: string
  key: string // the digit that does it; empty beyond the ninth
  run: () => void
}

/** What a whistle can do about something to settle. */
interface Doer {
  settle(item: HoldItem): void
  settleAll(): void
  fillIn(entry: string): void
  answer(question: Question, picks: string[]): void
  addMissing(missing: Missing): void
  setAside(key: string): void
}

/** A row of the panel: something to settle, with what can be done about it. */
export interface Row {
  item: HoldItem
  acts: Act[]
}

/** What is to be settled, each with what can be done about it, numbered through. */
export function withActs(items: HoldItem[], by: Doer): Row[] {
  let digit = 0
  return items.map((item) => {
    const acts: Act[] = []
    const add = (hook: Act['hook'], label: string, run: () => void, id: string = hook) => {
      digit++
      acts.push({ id, hook, label, key: digit <= 9 ? String(digit) : '', run })
    }
    const { fill, picks, missing } = item
    if (item.yes || item.local) add('settle', item.label ?? t('edge.settle'), () => by.settle(item))
    item.others?.forEach((tap, i) => add('settle', say(tap.say), () => by.settle({ ...item, local: undefined, yes: { ...item.yes, ...tap } as Item }), `settle/${i}`))
    if (item.all) add('settle-all', t('reading.shows'), () => by.settleAll())
    if (fill !== undefined) add('fill-in', t('edge.fill_in'), () => by.fillIn(fill))
    if (missing) add('add-player', t('owed.add', { number: missing.number }), () => by.addMissing(missing))
    for (const player of picks?.players ?? []) {
      if (picks && player !== '') add('pick', player, () => by.answer(picks, [player]), `pick/${player}`)
    }
    if (item.away) add('set-aside', item.awayLabel ?? t('edge.set_aside'), () => by.setAside(item.key))
    return { item, acts }
  })
}
