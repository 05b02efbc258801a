import type { CodesRead, PracticeResult, ReadinessBar } from '../../base/contract/contract'
import type { Engine } from '../engine'
import { ask } from './ask'
import { codesIn } from './codes'
import { readFile } from './files'

/** What came of texts and files that were sent. */
export interface Collected {
  results: PracticeResult[]
  bar: ReadinessBar | null // of a whole list
  bad: { text: string; why: string }[] // why is for people; '' where a result of a file cannot be
  newer: boolean
}

/** Reads whatever was sent: a file of results, or a text with codes in it. Rejects when the engine is gone. */
export async function collect(engine: Engine, text: string): Promise<Collected> {
  const file = readFile(text)
  if (file === 'newer') return { results: [], bar: null, bad: [], newer: true }
  if (file !== null) return { results: file.results, bar: file.bar, bad: Array.from({ length: file.bad }, () => ({ text: '', why: '' })), newer: false }
  const codes = codesIn(text)
  if (codes.length === 0) return { results: [], bar: null, bad: [], newer: false }
  const read = await ask<CodesRead>(engine, '/practice/codes', { text: codes.join('\n') })
  return { results: read.results, bar: null, bad: read.bad, newer: false }
}
