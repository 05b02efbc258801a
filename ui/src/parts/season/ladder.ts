import type { ReadyLadder } from '../../base/transport/league-form'
import { t, tOf } from '../../base/words/words'

/** A step of a ladder in words: h2h.gd8 is the goal difference among the equal teams, of which each game counts 8 at most. */
export function stepName(word: string): string {
  const { direct, name } = named(word)
  return direct ? t('season.form.s.direct', { step: name }) : name
}

/** A step without where it looks, and whether only at the games among the equal teams. */
function named(word: string): { direct: boolean; name: string } {
  const [, direct, step = word, most] = /^(h2h\.)?([a-z_]+?)(\d+)?$/.exec(word) ?? []
  const plain = tOf(`season.form.s.${step}`, word)
  return { direct: direct !== undefined, name: most === undefined ? plain : t('season.form.s.most', { step: plain, most }) }
}

/** Steps in words; those that follow one another among the equal teams are said together. */
function stepNames(list: string[]): string {
  const runs: { direct: boolean; names: string[] }[] = []
  for (const { direct, name } of list.map(named)) {
    const last = runs.at(-1)
    if (last?.direct === direct) last.names.push(name)
    else runs.push({ direct, names: [name] })
  }
  return runs.map(({ direct, names }) => t(direct ? 'season.form.ladder.among' : 'season.form.ladder.over', { steps: names.join(', ') })).join('; ')
}

/** What a ladder does, in sentences. */
export function ladderText(one: ReadyLadder): string {
  return [
    t('season.form.ladder.first', { step: stepName(one.first) }),
    one.more.length === 0 ? t('season.form.ladder.all', { steps: stepNames(one.two) }) : t('season.form.ladder.two', { two: stepNames(one.two), more: stepNames(one.more) }),
    t('season.form.ladder.way', { way: tOf(`season.form.a.${one.way}`, one.way) }),
  ].join(' ')
}
