import { sha256 } from '@noble/hashes/sha2.js'
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js'

/** Up to where a ledger was checked: its newest entry and the hash of that line. */
export interface Head {
  seq: number // 0: nothing yet
  hash: string
}

/** The head of an empty ledger. */
export const noHead: Head = { seq: 0, hash: '' }

/** What a check found. Lines from `bad` on do not follow from those before them. */
export interface Checked {
  head: Head // of the last line that follows
  good: string[]
  bad: { seq: number; why: 'unreadable' | 'number' | 'link' } | null
}

/** How a text about a person begins that lies beside the ledger: it is in no chain, and may be deleted. */
const beside = '{"specversion":"1.0","id":"#'

/**
 * Checks that lines follow from a head, one after the other: each has the next
 * number and carries the SHA-256 of the line before it. Browsers give no digest
 * on plain http, so the program brings its own for every address. A line may have
 * the texts that lie beside it behind it, each on a line of its own.
 */
export function checkLines(lines: string[], from: Head = noHead): Checked {
  let head = from
  const good: string[] = []
  const stop = (why: 'unreadable' | 'number' | 'link'): Checked => ({ head, good, bad: { seq: head.seq + 1, why } })
  for (const line of lines) {
    const own = entryOf(line)
    let entry: { seq?: unknown; prev?: unknown; was?: unknown }
    try {
      entry = JSON.parse(own) as typeof entry
    } catch {
      return stop('unreadable')
    }
    if (entry?.seq !== head.seq + 1) return stop('number')
    if ((entry.prev ?? '') !== head.hash) return stop('link')
    good.push(line)
    head = { seq: head.seq + 1, hash: typeof entry.was === 'string' ? entry.was : hashOf(own) }
  }
  return { head, good, bad: null }
}

function hashOf(line: string): string {
  return bytesToHex(sha256(utf8ToBytes(line)))
}

/** The entry of a line, without the texts that lie beside it. */
function entryOf(line: string): string {
  const end = line.indexOf('\n')
  return end < 0 ? line : line.slice(0, end)
}

/**
 * The lines of an exported ledger, each with the texts that lie beside it; what is
 * after the last line end may be cut off and is a line as well.
 */
export function linesOf(text: string): string[] {
  const lines: string[] = []
  for (const line of text.split('\n')) {
    if (line === '') continue
    if (!line.startsWith(beside)) lines.push(line)
    else if (lines.length > 0) lines[lines.length - 1] += `\n${line}`
  }
  return lines
}

/** What a line says was taken out of the game: the commitments of texts, and whether older lines stand otherwise now. */
export function takenOut(line: string): { texts: string[]; lines: boolean } {
  try {
    const { type, data } = JSON.parse(entryOf(line)) as { type?: string; data?: { body?: { texts?: string[]; lines?: unknown[] } } }
    const body = type?.startsWith('whistlestop.withdrawn.') ? data?.body : undefined
    return { texts: body?.texts ?? [], lines: (body?.lines ?? []).length > 0 }
  } catch {
    return { texts: [], lines: false }
  }
}

/** A line without the texts of some commitments beside it. */
export function without(line: string, commitments: string[]): string {
  return line
    .split('\n')
    .filter((one) => !commitments.some((commitment) => one.startsWith(`${beside.slice(0, -1)}${commitment}"`)))
    .join('\n')
}

/** The id of the game that a line belongs to; empty for none. */
export function gameOf(line: string | undefined): string {
  try {
    const { source } = JSON.parse(entryOf(line ?? '')) as { source?: string }
    return /^\/game\/([0-9A-Z]{26})$/.exec(source ?? '')?.[1] ?? ''
  } catch {
    return ''
  }
}
