import { leftText } from '../../clock/format'
import type { Item, State } from '../../contract/contract'
import { say, t } from '../../words/words'

/** A reason not to have the puck dropped. */
export interface HoldItem {
  key: string
  text: string
  away: boolean // it may be set aside
  yes?: Item // one tap settles it
  fill?: string // the entry in which something is to be filled in
  local?: 'post' | 'time_out' | 'delay' // one tap here settles it
  label?: string // what that tap says, if not "yes"
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
  const add = (key: string, text: string, more: Partial<HoldItem> = {}) => items.push({ key, text, away: false, said: true, ...more })
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
  return state.hold.map((item) => {
    const asked = state.asked.some((one) => one.id === item.key)
    const stage = /^(stage|period_over)/.test(item.key)
    return {
      key: item.key,
      text: say(item.say),
      away: !asked && !stage && item.settle_kind !== 'set_aside',
      yes: item.settle_kind ? item : undefined,
      fill: item.key.startsWith('serves/') ? item.entry : undefined,
      said: true,
    }
  })
}
