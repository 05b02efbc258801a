import type { RosterFinding, RosterTeam } from '../../base/contract/contract'
import { api, Refused } from '../../base/transport/api'
import { t } from '../../base/words/words'
import { parseRoster, type Roster, rosterText, writable } from './parse'

const pause = 500 // milliseconds without a key before the bench looks at what was typed

/** One team as it is typed: its name and its roster as text. */
export class TeamForm {
  name = $state('')
  text = $state('')
  /** The club's colour, such as "#c8102e"; "" is the lane's own. */
  colour = $state('')
  /** What the bench says of the roster against the division; lines that cannot be read are said at once. */
  findings = $state.raw<RosterFinding[]>([])
  trouble = $state('')
  readonly roster: Roster = $derived(parseRoster(this.text))
  readonly #before: RosterTeam | undefined
  #timer: ReturnType<typeof setTimeout> | undefined
  #asked = 0

  constructor(team?: RosterTeam) {
    this.#before = team
    this.name = team?.name ?? ''
    if (team) this.take(team)
  }

  /** The team as it is sent. What the text has no word for stays as it was. */
  get team(): RosterTeam {
    const { players: before = [], staff: people = [] } = this.#before ?? {}
    const players = this.roster.players.map((one) => {
      const keeps = one.goalkeeper && before.some((old) => old.number === one.number && old.position === 'goalkeeper')
      return keeps ? { ...one, position: 'goalkeeper' as const } : one
    })
    const staff = [...this.roster.staff, ...people.filter((one) => !writable(one.role))]
    return { name: this.name.trim(), players, ...(staff.length > 0 ? { staff } : {}), ...(this.colour === '' ? {} : { colour: this.colour }) }
  }

  take(team: RosterTeam): void {
    this.text = rosterText(team.players ?? [], team.staff ?? [])
    this.colour = team.colour ?? this.colour
  }

  /** Has the bench look at what was typed, once the keys rest. `of` is the division or the game. */
  typed(of: Record<string, string>): void {
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => void this.#read(new Blob([this.text]), of, false), pause)
  }

  /** Reads a file as a league sends it, in place of what was typed. */
  async read(file: Blob, of: Record<string, string>): Promise<void> {
    await this.#read(file, of, true)
  }

  async #read(file: Blob, of: Record<string, string>, keep: boolean): Promise<void> {
    const asked = ++this.#asked
    this.trouble = ''
    if (file.size === 0) {
      this.findings = []
      return
    }
    try {
      const [read] = await Promise.all([api.readRoster(file, { ...of, team: this.name.trim() }), import('../../base/words/paper')])
      if (asked !== this.#asked) return
      this.findings = read.findings
      if (!keep) return
      this.name ||= read.team.name
      if ((read.team.players ?? []).length > 0) this.take(read.team)
    } catch (reason) {
      // Without an answer the roster is posted as typed: the bench looks at it then.
      if (keep || reason instanceof Refused) this.trouble = reason instanceof Refused ? reason.message : t('app.unreachable')
    }
  }
}

/** Keeps rosters for the teams' next games. A game goes on without that. */
export async function keepTeams(teams: RosterTeam[]): Promise<void> {
  for (const team of teams) {
    if ((team.players ?? []).length > 0) await api.keepTeam(team).catch(() => undefined)
  }
}
