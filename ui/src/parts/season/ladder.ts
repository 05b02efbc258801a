import type { ReadyLadder } from '../../base/transport/league-form'
import { t, tOf } from '../../base/words/words'

/** A step of a ladder in words: h2h.gd8 is the goal difference among the equal teams, of which each game counts 8 at most. */
export function stepName(word: string): string {
  const [, direct, step = word, most] = /^(h2h\.)?([a-z_]+?)(\d+)?$/.exec(word) ?? []
  const plain = tOf(`season.form.s.${step}`, word)
  const capped = most === undefined ? plain : t('season.form.s.most', { step: plain, most })
  return direct ? t('season.form.s.direct', { step: capped }) : capped
}

/** What a ladder does, in sentences. */
export function ladderText(one: ReadyLadder): string {
  const steps = (list: string[]) => list.map(stepName).join('; ')
  return [
    t('season.form.ladder.first', { step: stepName(one.first) }),
    one.more.length === 0 ? t('season.form.ladder.all', { steps: steps(one.two) }) : t('season.form.ladder.two', { two: steps(one.two), more: steps(one.more) }),
    t('season.form.ladder.way', { way: tOf(`season.form.a.${one.way}`, one.way) }),
  ].join(' ')
}
