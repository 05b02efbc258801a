import type { Told } from '../base/contract/contract'
import { t } from '../base/words/words'

/** What a stoppage came to, in a few words. */
export function toldShort(told: Told | null): string {
  if (!told) return t('practice.told.not_yet')
  const count = told.findings.length
  if (count === 0) return t('practice.told.none')
  return count === 1 ? t('practice.told.one') : t('practice.told.many', { count })
}
