import type { Division, RosterTeam } from '../../base/contract/contract'
import { api, Refused } from '../../base/transport/api'
import { ulid } from '../../base/transport/ulid'
import { t } from '../../base/words/words'
import { keepTeams, TeamForm } from '../../parts/roster/form.svelte'

/** Opening is the form for a new game, without its looks. */
export class Opening {
  divisions = $state.raw<Division[]>([])
  /** The ids of the divisions that are the league's own. */
  own = $state.raw<string[]>([])
  /** Files of divisions that cannot be used. */
  damaged = $state.raw<{ file: string; why: string }[]>([])
  division = $state('')
  /** The last roster of every team that played here. */
  book = $state.raw<RosterTeam[]>([])
  home = new TeamForm()
  visitors = new TeamForm()
  number = $state('')
  venue = $state('')
  date = $state(today())
  trouble = $state('')
  busy = $state(false)
  // One id for the game, however often the button is pressed.
  #id = ulid()
  /** Until then nobody can have chosen a division: on a slow device somebody may be faster than the list. */
  #listed: Promise<void> = Promise.resolve()

  /** What has to be filled in first; empty when the game can be opened. */
  readonly missing: string = $derived.by(() => {
    if (this.division === '') return t('start.missing.division')
    if (this.home.name.trim() === '') return t('start.missing.home')
    if (this.visitors.name.trim() === '') return t('start.missing.visitors')
    if (this.home.roster.troubles.length + this.visitors.roster.troubles.length > 0) return t('start.missing.roster')
    return ''
  })

  /** Lists the divisions; the first is chosen where none was. */
  load(): Promise<void> {
    return (this.#listed = this.#list())
  }

  async #list(): Promise<void> {
    try {
      const { divisions, own = [], damaged = [] } = await api.divisions()
      this.divisions = divisions
      this.own = own
      this.damaged = damaged
      this.division ||= this.divisions[0]?.id ?? ''
    } catch {
      this.trouble = t('app.unreachable')
    }
  }

  async loadBook(): Promise<void> {
    this.book = await api.teams().catch(() => [])
  }

  /** Opens the game. Resolves to its id, or to null with the trouble said. */
  async go(): Promise<string | null> {
    this.trouble = ''
    await this.#listed
    if (this.divisions.length === 0) await this.load()
    this.trouble ||= this.missing
    if (this.trouble !== '') return null
    this.busy = true
    try {
      const optional = { number: this.number.trim(), venue: this.venue.trim(), date: this.date.trim() }
      const given = Object.fromEntries(Object.entries(optional).filter(([, value]) => value !== ''))
      const answer = await api.open({
        id: this.#id,
        division: this.division,
        home: this.home.team,
        visitors: this.visitors.team,
        ...given,
      })
      await keepTeams([this.home.team, this.visitors.team])
      return answer.id
    } catch (reason) {
      this.trouble = t('start.failed', { why: reason instanceof Refused ? reason.message : t('app.unreachable') })
      return null
    } finally {
      this.busy = false
    }
  }
}

function today(): string {
  const now = new Date()
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, '0')).join('-')
}
