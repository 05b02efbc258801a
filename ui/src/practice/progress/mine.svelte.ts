import type { PracticeResult } from '../../base/contract/contract'
import { ulid } from '../../base/transport/ulid'
import { Drawer, type Texts, type Trouble, browserTexts } from './drawer'
import { nameOf, resultOf, sameName } from './result'

/** A result of somebody at this device, with the code by which it is sent. */
export interface KeptResult {
  id: string
  code: string
  result: PracticeResult
}

interface Content {
  who: string // who practised here last
  people: string[]
  results: KeptResult[] // in the order in which they came
}

function sound(read: unknown): Content | null {
  if (typeof read !== 'object' || read === null) return null
  const { who, people, results } = read as Record<string, unknown>
  if (!Array.isArray(people) || !Array.isArray(results)) return null
  return {
    who: nameOf(who),
    people: people.map(nameOf).filter(Boolean),
    results: results.flatMap((one: unknown) => {
      const { id, code, result } = (one ?? {}) as Record<string, unknown>
      const found = resultOf(result)
      return found !== null && typeof id === 'string' && typeof code === 'string' ? [{ id, code, result: found }] : []
    }),
  }
}

/**
 * Mine is what this device keeps of those who practise at it: names and results,
 * and nothing else. Several people may share a device.
 */
export class Mine {
  who = $state('')
  people = $state.raw<string[]>([])
  results = $state.raw<KeptResult[]>([])
  trouble = $state<Trouble>('')
  #drawer: Drawer<Content>

  constructor(texts: Texts | undefined = browserTexts()) {
    this.#drawer = new Drawer({ key: 'whistlestop.practice', version: 1, empty: () => ({ who: '', people: [], results: [] }), sound }, texts)
    this.read()
  }

  /** Looks again, for what another tab did. */
  read(): void {
    this.#show(this.#drawer.read())
  }

  /** Listens for other tabs; the answer stops it. */
  listen(): () => void {
    return this.#drawer.listen(() => this.read())
  }

  /** Says who practises now; somebody new is added. False where it is no name. */
  choose(text: string): boolean {
    const name = nameOf(text)
    if (name === '') return false
    this.#change((before) => {
      const known = before.people.find((one) => sameName(one, name))
      return { ...before, who: known ?? name, people: known === undefined ? [...before.people, name] : before.people }
    })
    return true
  }

  keep(result: PracticeResult, code: string): KeptResult {
    const kept = { id: ulid(), code, result }
    this.#change((before) => ({ ...before, results: [...before.results, kept] }))
    return kept
  }

  remove(id: string): void {
    this.#change((before) => ({ ...before, results: before.results.filter((one) => one.id !== id) }))
  }

  /** Puts back what was just removed, where it was by its day. */
  putBack(kept: KeptResult): void {
    this.#change((before) => {
      if (before.results.some((one) => one.id === kept.id)) return before
      const after = before.results.findIndex((one) => one.result.day > kept.result.day)
      const at = after < 0 ? before.results.length : after
      return { ...before, results: [...before.results.slice(0, at), kept, ...before.results.slice(at)] }
    })
  }

  /** Takes out a name and all its results. */
  forget(name: string): void {
    this.#drawer.clearAside()
    this.#change((before) => {
      const people = before.people.filter((one) => !sameName(one, name))
      return {
        who: sameName(before.who, name) ? (people[0] ?? '') : before.who,
        people,
        results: before.results.filter((one) => !sameName(one.result.name, name)),
      }
    })
  }

  /** The results of one person, the newest first. */
  of(name: string): KeptResult[] {
    return this.results.filter((one) => sameName(one.result.name, name)).sort((a, b) => a.result.day - b.result.day).reverse()
  }

  /** All results, as the engine is asked with them. */
  get all(): PracticeResult[] {
    return this.results.map((one) => one.result)
  }

  #change(how: (before: Content) => Content): void {
    this.#show(this.#drawer.change(how))
  }

  #show(content: Content): void {
    this.who = content.who
    this.people = content.people
    this.results = content.results
    this.trouble = this.#drawer.trouble
  }
}
