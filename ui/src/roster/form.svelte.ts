import type { RosterTeam } from '../contract/contract'
import { parseRoster, type Roster, rosterText } from './parse'

/** One team as it is typed: its name and its roster as text. */
export class TeamForm {
  name = $state('')
  text = $state('')
  readonly roster: Roster = $derived(parseRoster(this.text))
  readonly #before: RosterTeam | undefined

  constructor(team?: RosterTeam) {
    this.#before = team
    this.name = team?.name ?? ''
    this.text = rosterText(team?.players ?? [])
  }

  /** The team as it is sent. What the text does not say, position, status and staff, stays as it was. */
  get team(): RosterTeam {
    const { players = [], staff = [] } = this.#before ?? {}
    const kept = this.roster.players.map((one) => {
      const { position, status } = players.find((before) => before.number === one.number) ?? {}
      const plays = position === 'goalkeeper' && !one.goalkeeper ? undefined : position
      return { ...one, ...(plays ? { position: plays } : {}), ...(status ? { status } : {}) }
    })
    return { name: this.name.trim(), players: kept, ...(staff.length > 0 ? { staff } : {}) }
  }
}
