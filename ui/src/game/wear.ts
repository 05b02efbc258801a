import type { State } from '../base/contract/contract'

let worn = ','

/** Has the page wear its clubs' colours, where any were entered. */
export function wear(teams: State['teams']): void {
  const [home, visitors] = [teams[0].colour ?? '', teams[1].colour ?? '']
  if (`${home},${visitors}` === worn) return
  worn = `${home},${visitors}`
  void import('../base/look/colours').then(({ wearSheet }) => wearSheet(home, visitors))
}
