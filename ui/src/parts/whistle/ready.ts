import { leftText } from '../../base/words/format'
import type { Item, Question, Side, State, Tap } from '../../base/contract/contract'
import { say, t } from '../../base/words/words'

/** A player who is missing from a roster. */
export interface Missing {
  side: Side
  number: string
}

/**
 * Something to settle at a whistle. What holds keeps the puck from being
 * dropped; a look is asked and holds nobody; what is owed to the book can wait.
 */
export interface HoldItem {
  key: string
  weight: 'hold' | 'look' | 'owed'
  text: string
  away: boolean // it may be set aside
  awayLabel?: string // what that tap says, if not "set aside"
  yes?: Item // one tap settles it
  fill?: string // the entry in which something is to be filled in
  local?: 'post' | 'time_out' | 'delay' | 'rosters' | 'agrees' // one tap here settles it
  all?: boolean // one more tap ticks all steps that are left
  label?: string // what the settling tap says, if not "yes"
  others?: Tap[] // further taps that settle it
  picks?: Question // one tap names a player
  missing?: Missing // one tap adds a player to a roster
  said: boolean // read out; not what counts down every second
}

interface Here {
  timeOut: number | null // what is left of a time-out, milliseconds
  delay: string | null // a delay in words, with its clock
  unposted: boolean
  striking: boolean // a strike, an undo or a redo is chosen and not posted
  postable: boolean // what is not posted can be, as it is
  lost: boolean
  unsent: number // batches that wait to be sent
}

/** What only this page knows. */
export function localHolds(here: Here): HoldItem[] {
  const items: HoldItem[] = []
  const add = (key: string, text: string, more: Partial<HoldItem> = {}) =>
    items.push({ key, weight: 'hold', text, away: false, said: true, ...more })
  if (here.lost) add('local.lost', t('hold.lost'))
  if (here.unposted) add('local.unposted', t('hold.unposted'), here.postable ? { local: 'post', label: t('post.do') } : {})
  else if (here.striking) add('local.striking', t('hold.striking'), here.postable ? { local: 'post', label: t('post.do') } : {})
  if (here.unsent > 0 && here.lost) add('local.unsent', t(here.unsent === 1 ? 'hold.unsent.one' : 'hold.unsent.many', { count: here.unsent }))
  if (here.timeOut !== null) add('local.time_out', t('hold.time_out', { left: leftText(here.timeOut) }), { local: 'time_out', label: t('edge.over'), said: false })
  if (here.delay !== null) add('local.delay', here.delay, { local: 'delay', label: t('edge.over'), said: false })
  return items
}

/** What the book holds the puck drop for. */
export function bookHolds(state: State): HoldItem[] {
  return state.hold.map((item) => ({
    ...asked(item, 'hold'),
    away: !/^(stage|period_over|doubt\/)/.test(item.key) && item.settle_kind !== 'set_aside',
    fill: item.key.startsWith('serves/') ? item.entry : undefined,
    picks: oneOf(state, item.key),
  }))
}

/** What the book asks without holding anybody. `abs` is how far play has come, milliseconds. */
export function bookLooks(state: State, abs: number): HoldItem[] {
  return state.notices.filter((item) => !item.from || item.from.abs_ms <= abs).map((item) => asked(item, 'look'))
}

/** What is owed to the book and was not set aside. What holds already is not said twice. */
export function bookOwes(state: State, fillable: (entry: string) => boolean): HoldItem[] {
  const held = state.hold.map((item) => item.entry).filter(Boolean)
  return state.owed
    .filter((item) => !item.aside && !(item.entry !== undefined && held.includes(item.entry)))
    .map((item) => ({
      ...asked(item, 'owed'),
      fill: item.entry !== undefined && fillable(item.entry) ? item.entry : undefined,
      local: item.key.startsWith('dressed/') ? 'rosters' : undefined,
      label: item.key.startsWith('dressed/') ? t('roster.open') : undefined,
      picks: oneOf(state, item.key),
      missing: missingPlayer(state, item),
    }))
}

function asked(item: Item, weight: HoldItem['weight']): HoldItem {
  return {
    key: item.key,
    weight,
    text: say(item.say),
    away: item.settle_kind !== 'set_aside',
    awayLabel: item.aside_say ? say(item.aside_say) : undefined,
    yes: item.settle_kind ? item : undefined,
    label: item.settle_say ? say(item.settle_say) : undefined,
    others: item.others,
    said: true,
  }
}

/** The question behind an item, where naming one player answers it. */
function oneOf(state: State, key: string): Question | undefined {
  return state.asked.find((one) => one.id === key && one.count === 1)
}

/** The player whom something owed says is missing from a roster. */
function missingPlayer(state: State, item: Item): Missing | undefined {
  const [kind, number = ''] = item.key.split('/')
  const line = state.lines.find((one) => one.entry === item.entry)
  if (kind !== 'roster' || !line || (line.kind !== 'goal' && line.kind !== 'penalty')) return undefined
  return { side: line.body.side, number }
}
