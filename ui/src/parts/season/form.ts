import type { FormSetting, LeagueEdit } from '../../base/transport/season'

/** What a field of the form takes. */
type FieldKind = 'text' | 'number' | 'day' | 'yes' | 'list' | 'choice'

/** A field of the league file's form. */
export interface Field {
  key: string
  kind: FieldKind
  choices?: string[]
}

/** The settings of a file with the changes that were made in a form and not kept yet. */
export class Draft {
  readonly #was = new Map<string, string>()
  readonly #now = new Map<string, string>()
  readonly #rows = new Map<string, number>() // of each list of tables

  constructor(settings: FormSetting[]) {
    for (const one of settings) {
      this.#was.set(keyOf(one.table, one.at, one.key), one.value)
      this.#rows.set(one.table, Math.max(this.#rows.get(one.table) ?? 0, one.at + 1))
    }
  }

  /** How many tables a list has. */
  rows(table: string): number {
    return this.#rows.get(table) ?? 0
  }

  /** Adds a table to a list, and says which it is. It is in the file once a setting of it is. */
  add(table: string): number {
    const at = this.rows(table)
    this.#rows.set(table, at + 1)
    return at
  }

  /** A setting as JSON; empty: the file does not have it. */
  get(table: string, at: number, key: string): string {
    const path = keyOf(table, at, key)
    return this.#now.get(path) ?? this.#was.get(path) ?? ''
  }

  /** The setting as a person types it. */
  shown(table: string, at: number, field: Field): string {
    const raw = this.get(table, at, field.key)
    if (raw === '') return ''
    const value: unknown = JSON.parse(raw)
    return Array.isArray(value) ? value.join(', ') : String(value)
  }

  /** Takes what a person typed. Nothing typed means that the file does not have the setting. */
  type(table: string, at: number, field: Field, text: string): void {
    this.set(table, at, field.key, read(field.kind, text))
  }

  set(table: string, at: number, key: string, value: string): void {
    const path = keyOf(table, at, key)
    if (value === (this.#was.get(path) ?? '')) this.#now.delete(path)
    else this.#now.set(path, value)
  }

  /** The changes, in the order in which they were made first. */
  edits(): LeagueEdit[] {
    return [...this.#now].map(([path, value]) => {
      const [table = '', at = '0', key = ''] = path.split('/')
      return { table, at: Number(at), key, ...(value === '' ? { remove: true } : { value }) }
    })
  }
}

function keyOf(table: string, at: number, key: string): string {
  return `${table}/${at}/${key}`
}

function read(kind: FieldKind, text: string): string {
  const trimmed = text.trim()
  if (trimmed === '') return ''
  switch (kind) {
    case 'number': return /^-?\d+$/.test(trimmed) ? String(Number(trimmed)) : JSON.stringify(trimmed)
    case 'yes': return trimmed === 'true' ? 'true' : 'false'
    case 'list': return JSON.stringify(trimmed.split(',').map((one) => one.trim()).filter((one) => one !== ''))
    default: return JSON.stringify(trimmed)
  }
}

interface Team { id: string; name: string; home?: string }

/** The teams of a division as lines: id, name and home rink, as they are typed. What else a team has stays with its id. */
export function teamLines(raw: string): string {
  if (raw === '') return ''
  return (JSON.parse(raw) as Team[]).map((one) => [one.id, one.name, one.home ?? ''].join(', ').replace(/, $/, '')).join('\n')
}

/** The teams again of lines. */
export function teamsOf(lines: string, raw: string): string {
  const before = raw === '' ? [] : (JSON.parse(raw) as Team[])
  const teams = lines.split('\n').map((line) => line.split(',').map((one) => one.trim())).filter(([id]) => id !== undefined && id !== '').map(([id = '', name = '', home = '']) => {
    const kept: Partial<Team> = { ...before.find((one) => one.id === id) }
    delete kept.home
    return { ...kept, id, name, ...(home === '' ? {} : { home }) }
  })
  return teams.length === 0 ? '' : JSON.stringify(teams)
}
