import { SvelteMap, SvelteSet } from 'svelte/reactivity'
import type { FormSetting, LeagueEdit } from '../../base/transport/league-form'
import { read, written, type Field } from './field'

/** The settings of a file with the changes that were made in a form and not kept yet. */
export class Draft {
  readonly #was = new SvelteMap<string, string>()
  readonly #now = new SvelteMap<string, string>()
  readonly #there = new SvelteMap<string, number>() // rows of each list of tables in the file
  readonly #rows = new SvelteMap<string, number>() // and with those that were added
  readonly #gone = new SvelteSet<string>() // rows that are taken away
  readonly #cleared = new SvelteSet<string>() // tables of one kind that begin anew, or go

  constructor(settings: FormSetting[]) {
    for (const one of settings) {
      this.#was.set(keyOf(one.table, one.at, one.key), one.value)
      this.#there.set(one.table, Math.max(this.#there.get(one.table) ?? 0, one.at + 1))
    }
    for (const [table, count] of this.#there) this.#rows.set(table, count)
  }

  /** The rows of a list, without those that were added and taken away again. */
  rows(table: string): number[] {
    return Array.from({ length: this.#rows.get(table) ?? 0 }, (_, i) => i).filter((at) => !this.isGone(table, at) || at < (this.#there.get(table) ?? 0))
  }

  /** Adds a table to a list, and says which it is. It is in the file once a setting of it is. */
  add(table: string): number {
    const at = this.#rows.get(table) ?? 0
    this.#rows.set(table, at + 1)
    return at
  }

  /** Takes a row of a list away. */
  take(table: string, at: number): void {
    this.#gone.add(`${table}/${at}`)
  }

  /** Puts it back. */
  putBack(table: string, at: number): void {
    this.#gone.delete(`${table}/${at}`)
  }

  isGone(table: string, at: number): boolean {
    return this.#gone.has(`${listOf(table)}/${at}`)
  }

  /** Takes every setting of a table out, and of the tables within it. */
  clear(table: string, at: number): void {
    for (const path of [...this.#now.keys()]) if (within(path, table, at)) this.#now.delete(path)
    if ([...this.#was.keys()].some((path) => within(path, table, at))) this.#cleared.add(`${table}/${at}`)
    for (const list of this.#rows.keys()) {
      if (!list.startsWith(`${table}.`) || listOf(list) !== list) continue
      this.#rows.set(list, 0)
      this.#there.set(list, 0)
      for (const row of [...this.#gone]) if (row.startsWith(`${list}/`)) this.#gone.delete(row)
    }
  }

  /** Whether a table has any setting, or a table within it has. */
  has(table: string, at: number): boolean {
    return [...this.#was.keys(), ...this.#now.keys()].some((path) => within(path, table, at) && this.#at(path) !== '')
  }

  /** A setting as JSON; empty: the file does not have it. */
  get(table: string, at: number, key: string): string {
    return this.#at(keyOf(table, at, key))
  }

  /** The setting as a person types it. */
  shown(table: string, at: number, field: Field): string {
    return written(field.kind, this.get(table, at, field.key))
  }

  /** Takes what a person typed. Nothing typed means that the file does not have the setting. */
  type(table: string, at: number, field: Field, text: string): void {
    this.set(table, at, field.key, read(field.kind, text))
  }

  set(table: string, at: number, key: string, value: string): void {
    const path = keyOf(table, at, key)
    if (value === this.#before(path)) this.#now.delete(path)
    else this.#now.set(path, value)
  }

  /** The changes: what goes of one kind, settings in the order in which they were made first, then the rows that go, the last first. */
  edits(): LeagueEdit[] {
    const cleared = [...this.#cleared].map((one) => one.split('/')).filter(([table = '', at = '0']) => !this.isGone(table, Number(at)))
      .map(([table = '', at = '0']) => ({ table, at: Number(at), key: '', remove: true }))
    const sets = [...this.#now].flatMap(([path, value]) => {
      const [table = '', at = '0', key = ''] = path.split('/')
      const row = this.#order(listOf(table)).indexOf(Number(at))
      if (this.isGone(table, Number(at))) return []
      return [{ table, at: row < 0 ? Number(at) : this.#numbered(table, Number(at)), key, ...(value === '' ? { remove: true } : { value }) }]
    })
    const gone = [...this.#gone].map((one) => one.split('/')).filter(([table = '', at = '0']) => Number(at) < (this.#there.get(table) ?? 0))
      .map(([table = '', at = '0']) => ({ table, at: Number(at), key: '', remove: true })).sort((a, b) => b.at - a.at)
    return [...cleared, ...sets, ...gone]
  }

  /** Where in the form a row of the file is that the changes make. */
  rowOf(table: string, at: number): number {
    return this.#order(listOf(table))[at] ?? at
  }

  /** The rows that the changed file has, in its order. */
  #order(list: string): number[] {
    const there = this.#there.get(list) ?? 0
    return this.rows(list).filter((at) => !this.isGone(list, at) && (at < there || this.has(list, at)))
  }

  /** The number that a row has while edits are made: rows of the file go last. */
  #numbered(table: string, at: number): number {
    const list = listOf(table)
    const there = this.#there.get(list) ?? 0
    if (at < there) return at
    return there + this.#order(list).filter((one) => one >= there).indexOf(at)
  }

  #at(path: string): string {
    return this.#now.get(path) ?? this.#before(path)
  }

  #before(path: string): string {
    for (const one of this.#cleared) {
      const [table = '', at = '0'] = one.split('/')
      if (within(path, table, Number(at))) return ''
    }
    return this.#was.get(path) ?? ''
  }
}

function keyOf(table: string, at: number, key: string): string {
  return `${table}/${at}/${key}`
}

/** The list by whose rows a table is counted. */
function listOf(table: string): string {
  return table.startsWith('division.') ? 'division' : table
}

/** Whether a setting is in a table: the rows of a list within it all are. */
function within(path: string, table: string, at: number): boolean {
  const [one = '', row = ''] = path.split('/')
  if (one.startsWith(`${table}.`) && !one.startsWith('division.')) return true
  return Number(row) === at && (one === table || one.startsWith(`${table}.`))
}
