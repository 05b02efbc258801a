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

/**
 * Checks that lines follow from a head, one after the other: each has the next
 * number and carries the SHA-256 of the line before it. Browsers give no digest
 * on plain http, so the program brings its own for every address.
 */
export function checkLines(lines: string[], from: Head = noHead): Checked {
  let head = from
  const good: string[] = []
  const stop = (why: 'unreadable' | 'number' | 'link'): Checked => ({ head, good, bad: { seq: head.seq + 1, why } })
  for (const line of lines) {
    let entry: { seq?: unknown; prev?: unknown }
    try {
      entry = JSON.parse(line) as typeof entry
    } catch {
      return stop('unreadable')
    }
    if (entry?.seq !== head.seq + 1) return stop('number')
    if ((entry.prev ?? '') !== head.hash) return stop('link')
    good.push(line)
    head = { seq: head.seq + 1, hash: hashOf(line) }
  }
  return { head, good, bad: null }
}

function hashOf(line: string): string {
  return bytesToHex(sha256(utf8ToBytes(line)))
}

/** The lines of an exported ledger; what is after the last line end may be cut off and is a line as well. */
export function linesOf(text: string): string[] {
  return text.split('\n').filter((line) => line !== '')
}

/** The id of the game that a line belongs to; empty for none. */
export function gameOf(line: string | undefined): string {
  try {
    const { source } = JSON.parse(line ?? '') as { source?: string }
    return /^\/game\/([0-9A-Z]{26})$/.exec(source ?? '')?.[1] ?? ''
  } catch {
    return ''
  }
}
