import type { Kind, Line, Side } from '../../base/contract/contract'
import { quietKinds } from '../../base/contract/rights'

/** What a ledger is looked through for; empty: all of it. */
export interface Sieve {
  side: Side | ''
  kind: Kind | ''
}

/** A line, or quiet lines that stand folded into one. The key is the oldest one's, so it stays while others are added. */
export interface Fold {
  key: string
  lines: Line[]
  folded: boolean
}

/** The lines that a sieve lets through. */
export function sifted(lines: Line[], { side, kind }: Sieve): Line[] {
  if (side === '' && kind === '') return lines
  return lines.filter((line) => (kind === '' ? !quietKinds.includes(line.kind) : line.kind === kind) && (side === '' || sideOf(line) === side))
}

function sideOf(line: Line): string {
  const { body } = line as { body?: { side?: string } }
  return body?.side ?? ''
}

/** Folds runs of quiet lines, newest first. `apart` stands by itself: it can be acted on. */
export function foldsOf(lines: Line[], apart = ''): Fold[] {
  const folds: Fold[] = []
  let run: Line[] = []
  const end = () => {
    const oldest = run[run.length - 1]
    if (oldest) folds.push({ key: oldest.entry, lines: run, folded: run.length > 1 })
    run = []
  }
  for (const line of lines) {
    if (quietKinds.includes(line.kind) && line.entry !== apart) {
      run.push(line)
      continue
    }
    end()
    folds.push({ key: line.entry, lines: [line], folded: false })
  }
  end()
  return folds
}
