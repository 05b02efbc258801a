import type { ReadyBook } from '../../base/transport/league-form'
import type { Draft } from './form.svelte'

const own = 'suspensions.own'

/** What a ready-made book answers to each question of how a suspension is served, as JSON. */
export function servingOf(book: ReadyBook): Map<string, string> {
  return new Map(book.settings.filter((one) => one.table === `${own}.serving`).map((one) => [one.key, one.value]))
}

/** Begins a league's own book with everything that a ready-made one says. The league's own answers, where it has some, become the book's. */
export function begin(draft: Draft, book: ReadyBook): void {
  const rows = new Map<number, number>()
  for (const one of book.settings) {
    let at = one.at
    if (one.table === `${own}.trigger`) {
      at = rows.get(one.at) ?? draft.add(one.table)
      rows.set(one.at, at)
    }
    const league = one.table === `${own}.serving` ? draft.get('suspensions.serving', 0, one.key) : ''
    draft.set(one.table, at, one.key, league === '' ? one.value : league)
  }
  draft.clear('suspensions.serving', 0)
}

/** How many games a rule costs: one number, or those of the first, second and further time; -1: until a ruling. */
export function costs(get: (key: string) => string): number[] {
  const [season, games] = [get('season'), get('games')]
  const value: unknown = JSON.parse(season === '' ? games || '[]' : season)
  return (Array.isArray(value) ? value : [value]).filter((one): one is number => typeof one === 'number')
}

/** Whether a rule of the league's own book goes by the league's list, which has no call yet. */
export function listless(draft: Draft): boolean {
  const rules = `${own}.trigger`
  const goes = draft.rows(rules).some((at) => !draft.isGone(rules, at) && draft.get(rules, at, 'listed') === 'true')
  return goes && ['', '{}'].includes(draft.get(own, 0, 'least'))
}
