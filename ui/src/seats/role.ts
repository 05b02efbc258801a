import type { State } from '../contract/contract'
import type { Role } from '../link/seats'
import { teamName } from '../words/game'
import { t } from '../words/words'

/** A seat by its name, such as "Clock" or "Box, Kelp Bay". */
export function roleName(state: State, { seat, side }: Role): string {
  const name = t(`seat.name.${seat}`)
  return side === '' ? name : t('seat.of', { seat: name, team: teamName(state, side) })
}
