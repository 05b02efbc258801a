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
  said: boolean // read out; not what counts down every second
}

interface Here {
  timeOut: number | null // what is left of a time-out, milliseconds
  unposted: boolean
  lost: boolean
  unsent: number // batches that wait to be sent
}

/** What only this page knows. */
export function localHolds(here: Here): HoldItem[] {
  const items: HoldItem[] = []
  const add = (key: string, text: string) => items.push({ key, text, away: false, said: key !== 'local.time_out' })
  if (here.lost) add('local.lost', t('hold.lost'))
  if (here.unposted) add('local.unposted', t('hold.unposted'))
  if (here.unsent > 0 && here.lost) add('local.unsent', t(here.unsent === 1 ? 'hold.unsent.one' : 'hold.unsent.many', { count: here.unsent }))
  if (here.timeOut !== null) add('local.time_out', t('hold.time_out', { left: leftText(here.timeOut) }))
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
