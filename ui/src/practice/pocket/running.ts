import type { Link } from '../../base/transport/link'
import { startBench } from './bench'
import { answerWindows } from './windows'

let running: Promise<Link> | undefined

/** The bench of this page. It is started once and runs until the page is closed, also while that shows something else. */
export function benchOfThisPage(): Promise<Link> {
  running ??= startBench().then(
    (link) => {
      answerWindows(link)
      return link
    },
    (reason: unknown) => {
      running = undefined
      throw reason
    },
  )
  return running
}
