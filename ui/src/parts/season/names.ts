import { Refused } from '../../base/transport/api'
import type { Overview, Place, Scheduled } from '../../base/transport/season'
import { dayText } from '../../base/words/day'
import { t } from '../../base/words/words'

/** Names of a season's teams, divisions and rinks by their ids. */
export class Names {
  readonly #of = new Map<string, string>()

  constructor(season: Overview) {
    for (const rink of season.rinks) this.#of.set(`rink/${rink.id}`, rink.name)
    for (const division of season.divisions) {
      this.#of.set(`division/${division.id}`, division.name)
      for (const team of division.teams) this.#of.set(`team/${team.id}`, team.name)
    }
  }

  rink = (id: string): string => this.#of.get(`rink/${id}`) ?? id
  division = (id: string): string => this.#of.get(`division/${id}`) ?? id
  team = (id: string): string => this.#of.get(`team/${id}`) ?? id

  /** The teams of a game. */
  teams = (game: { home: string; visitors: string }): string => `${this.team(game.home)} – ${this.team(game.visitors)}`

  /** When and where, in a line. */
  place = (at: Place | undefined): string =>
    at ? [dayText(at.day), at.start, this.rink(at.rink), t('season.sheet', { sheet: at.sheet })].join(' · ') : t('season.no_place')
}

/** A day and a time of the rinks, "2026-10-04 18:30", as people say them. */
export function momentOf(text: string): string {
  const [day = '', time = ''] = text.split(' ')
  return `${dayText(day)}, ${time}`
}

/** Games by time; those without one come last. */
export function byTime(a: Scheduled, b: Scheduled): number {
  const key = (one: Scheduled) => (one.place ? `${one.place.day} ${one.place.start}` : 'later')
  return key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0
}

/** Thousandths as a number with three decimals. */
export function thousandths(value: number | undefined): string {
  return value === undefined ? '' : (value / 1000).toFixed(3)
}

/** Why something of a season did not come, or was not kept. */
export function whyNot(reason: unknown): string {
  return reason instanceof Refused ? reason.message : t('season.unreachable')
}
