import type { PracticeResult, ReadinessBar } from '../../base/contract/contract'
import { resultOf } from './result'

const mark = 'whistlestop-practice'
const version = 1
export const mostBytes = 5_000_000

/** Results as a file, for a coordinator: what a code has, and more than one. */
export function fileOf(results: PracticeResult[], bar?: ReadinessBar): string {
  return `${JSON.stringify({ kind: mark, version, ...(bar ? { bar } : {}), results }, null, 1)}\n`
}

/** What was read from a file. */
interface FileRead {
  results: PracticeResult[]
  bad: number // results that cannot be
  bar: ReadinessBar | null
}

/** Reads a file of results. Null where it is none of ours; codes may still be in it. */
export function readFile(text: string): FileRead | 'newer' | null {
  let read: Record<string, unknown>
  try {
    read = JSON.parse(text) as Record<string, unknown>
  } catch {
    return null
  }
  if (typeof read !== 'object' || read === null || read['kind'] !== mark || !Array.isArray(read['results'])) return null
  if (read['version'] !== version) return 'newer'
  const all = read['results'].map(resultOf)
  const results = all.filter((one) => one !== null)
  return { results, bad: all.length - results.length, bar: barOf(read['bar']) }
}

/** A bar that can be, or null. */
export function barOf(read: unknown): ReadinessBar | null {
  if (typeof read !== 'object' || read === null) return null
  const { score, games, level, skill } = read as Record<string, unknown>
  const within = (value: unknown, least: number, most: number) => Number.isInteger(value) && (value as number) >= least && (value as number) <= most
  if (!within(score, 0, 100) || !within(games, 1, 20) || !within(level, 1, 5) || !within(skill, 0, 100)) return null
  return { score, games, level, skill } as ReadinessBar
}
