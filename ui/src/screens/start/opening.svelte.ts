import type { Division, RosterTeam } from '../../base/contract/contract'
import { api, Refused } from '../../base/transport/api'
import type { GameLink } from '../../base/transport/gamelink'
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
  /** The division of the link is not known here. */
  strange = $state(false)
  /** The league's own division that the link brought: it is kept when its game is opened, and not before. */
  brought = $state.raw<Division | null>(null)
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

  /** With a game of a schedule that came in a link, its form is filled in. */
  constructor(private readonly link?: GameLink) {
    if (!link) return
    this.home = new TeamForm(link.home)
    this.visitors = new TeamForm(link.visitors)
    this.number = link.schedule
    this.venue = link.venue ?? ''
    this.date = link.date ?? ''
  }

  /** Lists the divisions; the first is chosen where none was. */
  load(): Promise<void> {
    return (this.#listed = this.#list())
  }

  async #list(): Promise<void> {
    try {
      const { divisions, own = [], damaged = [] } = await api.divisions()
      this.divisions = this.brought ? [...divisions, this.brought] : divisions
      this.own = own
      this.damaged = damaged
      if (this.link && this.division === '') await this.#linkedDivision(this.link)
      this.division ||= this.divisions[0]?.id ?? ''
    } catch {
      this.trouble = t('app.unreachable')
    }
  }

  /** Chooses the division of the link; one of the league's own that is not here yet is looked at first. */
  async #linkedDivision({ division, own }: GameLink): Promise<void> {
    const has = (id: string) => this.divisions.some((one) => one.id === id)
    if (own && !has(division)) {
      this.brought = await api.keepDivision({ ...asItCame(own), check: true }).catch(() => null)
      if (this.brought) {
        this.divisions = [...this.divisions, this.brought]
        this.division = this.brought.id
      }
    } else if (has(division)) this.division = division
    this.strange = this.division === ''
  }

  /** Keeps the division that the link brought, where the game is played by it. */
  async #keepBrought(): Promise<void> {
    if (!this.brought || this.brought.id !== this.division) return
    const kept = await api.keepDivision(asItCame(this.brought))
    this.own = [...this.own, kept.id]
    this.brought = null
  }

  /** Reads the last rosters of teams that played here. A link that brought none gets those of its teams. */
  async loadBook(): Promise<void> {
    this.book = await api.teams().catch(() => [])
    if (!this.link) return
    for (const form of [this.home, this.visitors]) {
      const known = this.book.find((one) => one.name === form.name)
      if (form.text === '' && known) form.take(known)
    }
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
      const { schedule, slot_end_ms } = this.link ?? {}
      await this.#keepBrought()
      const answer = await api.open({
        id: this.#id,
        division: this.division,
        home: this.home.team,
        visitors: this.visitors.team,
        ...given,
        ...(schedule === undefined ? {} : { schedule }),
        ...(slot_end_ms === undefined ? {} : { slot_end_ms }),
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

/** A division that was made elsewhere: where each of its settings was read it says itself. */
function asItCame(division: Division) {
  return { from: '', division, source: '', replace: false }
}

function today(): string {
  const now = new Date()
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, '0')).join('-')
}
