import type { State } from '../../base/contract/contract'
import type { Role } from '../../base/transport/seat'
import { teamName } from '../../base/words/game'
import { t } from '../../base/words/words'

/** A seat by its name, such as "Clock" or "Box, Kelp Bay". */
export function roleName(state: State, { seat, side }: Role): string {
  const name = t(`seat.name.${seat}`)
  return side === '' ? name : t('seat.of', { seat: name, team: teamName(state, side) })
}
