import type { HoldItem } from '../whistle/ready'
import { t } from '../../base/words/words'
import { lampWords } from './lamps'
import type { RinkCardStep, RinkCardView } from '../../base/contract/contract'

/** The id under which a look at the board is recorded when no step is left. */
export const boardCheck = 'board_check'

/** The steps of a card with those that were ticked here a moment ago. */
export function withSent(steps: RinkCardStep[], sent: ReadonlySet<string>): RinkCardStep[] {
  return steps.map((step) => (sent.has(step.id) ? { ...step, ticked: true } : step))
}

/** The first step that is not done; null when all are. */
export function nextStep(steps: RinkCardStep[]): RinkCardStep | null {
  return steps.find((step) => !step.ticked) ?? null
}

/** The name under which what is left to do on the board is set aside. */
const asideItem = 'card/steps'

/**
 * What the rink card asks: that its next step is done, or that somebody looks at
 * the board after a match with it. It holds the puck only where the coordinator
 * said that it does, and can be set aside until the next whistle.
 */
export function cardAsks(view: RinkCardView | null, steps: RinkCardStep[], names: [string, string]): HoldItem[] {
  if (!view || view.aside) return []
  const left = steps.filter((step) => !step.ticked)
  const next = left[0]
  if (next) {
    const text = t(left.length === 1 ? 'card.hold.one' : 'card.hold.many', { step: next.text, count: left.length })
    return [{
      key: asideItem, weight: view.holds ? 'hold' : 'look', text, away: true, said: true, label: t('card.tick'), all: left.length > 1,
      yes: { key: asideItem, say: { key: 'line.ticked' }, settle: { step: next.id }, settle_kind: 'ticked' },
    }]
  }
  if (!view.look) return []
  return [{
    key: asideItem, weight: 'look', text: t('card.look', { reading: readingWords(view, names) }), away: true, said: true,
    local: 'agrees', label: t('reading.shows'),
  }]
}

/** What the board should read, in one line: "6:41, 0–0, Lanternside 05 0:11". */
export function readingWords({ board, type }: RinkCardView, names: [string, string]): string {
  const lines = board.sides.flatMap((side, i) => {
    const shown = side.lines.map((line) => [type.shows_numbers ? line.number || t('bar.owed') : '', line.left].filter(Boolean).join(' '))
    return shown.length > 0 ? [`${names[i] ?? ''} ${shown.join(', ')}`] : []
  })
  return [board.clock, board.no_score ? '' : `${board.score[0]}–${board.score[1]}`, ...lines, lampWords(board.lamps ?? [])].filter(Boolean).join(' · ')
}
