import type { RosterTeam } from '../contract/contract'
import { parseRoster, type Roster, rosterText } from './parse'

/** One team as it is typed: its name and its roster as text. */
export class TeamForm {
  name = $state('')
  text = $state('')
  readonly roster: Roster = $derived(parseRoster(this.text))

  constructor(team?: RosterTeam) {
    this.name = team?.name ?? ''
    this.text = rosterText(team?.players ?? [])
  }

  /** The team as it is sent. */
  get team(): RosterTeam {
    return { name: this.name.trim(), players: this.roster.players }
  }
}
