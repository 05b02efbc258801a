import { leftText } from '../../clock/format'
import { t } from '../../words/words'

/** A reason not to have the puck dropped. `away` says that it may be set aside. */
export interface HoldItem {
  key: string
  text: string
  away: boolean
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
