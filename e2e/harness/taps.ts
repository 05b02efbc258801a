import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const page = join(dirname(fileURLToPath(import.meta.url)), '../../docs/design.md')

/** A place on the screen that the eye goes to, with the words on the controls that the hand takes there. */
export interface Glance { place: string; acts: string[] }

/** A row of the table of taps and glances. */
export interface Row { entry: string; acts: number; glances: number; way: Glance[] }

/**
 * Reads the table of docs/design.md. Its last column has the places in order, each with what the hand does
 * there: "numbers: 9, 12; sentence: Post". A page without the table stops the test.
 */
export function tapTable(): Row[] {
  const lines = readFileSync(page, 'utf8').split('\n')
  const from = lines.findIndex((line) => line.startsWith('## Taps and glances'))
  const to = lines.findIndex((line, i) => i > from && line.startsWith('## '))
  const rows = lines.slice(from, to < 0 ? undefined : to).flatMap((line) => {
    const [, entry = '', acts = '', glances = '', way = ''] = line.split('|').map((cell) => cell.trim())
    if (!/^\d+$/.test(acts)) return []
    return [{ entry, acts: Number(acts), glances: Number(glances), way: way.split('; ').map((part) => {
      const [place = '', taps = ''] = part.split(': ')
      return { place, acts: taps === '' ? [] : taps.split(', ') }
    }) }]
  })
  if (from < 0 || rows.length === 0) throw new Error('docs/design.md has no table of taps and glances')
  return rows
}
