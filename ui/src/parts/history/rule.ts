import type { Code, Reason } from '../../base/contract/contract'
import { t } from '../../base/words/words'

/** Where a reason stands, such as "USA Hockey, rule 402(a)". */
export function ruleText(reason: Reason, codes: Code[]): string {
  return t('why.rule', { code: codes.find((one) => one.id === reason.code)?.body ?? reason.code, rule: reason.rule })
}
