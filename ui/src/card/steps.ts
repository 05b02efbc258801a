import type { HoldItem } from '../screens/bench/ready'
import { t } from '../words/words'
import type { RinkCardStep, RinkCardView } from '../contract/contract'

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

/** What the rink card holds the puck drop for. One tap says that the next step is done. */
export function cardHolds(view: RinkCardView | null, steps: RinkCardStep[]): HoldItem[] {
  const left = steps.filter((step) => !step.ticked)
  const next = left[0]
  if (!view?.holds || !next) return []
  const text = t(left.length === 1 ? 'card.hold.one' : 'card.hold.many', { step: next.text, count: left.length })
  return [{
    key: 'card.steps', text, away: false, said: true, label: t('card.tick'),
    yes: { key: 'card.steps', say: { key: 'line.ticked' }, settle: { step: next.id }, settle_kind: 'ticked' },
  }]
}
