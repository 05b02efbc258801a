import type { PracticeResult, ReadinessBar } from '../../base/contract/contract'
import { Drawer, type Texts, type Trouble, browserTexts } from './drawer'
import { barOf } from './files'
import { merge, resultOf, sameName } from './result'

interface Content {
  bar: ReadinessBar | null // none was set
  results: PracticeResult[]
}

function sound(read: unknown): Content | null {
  if (typeof read !== 'object' || read === null) return null
  const { bar, results } = read as Record<string, unknown>
  if (!Array.isArray(results)) return null
  return { bar: barOf(bar), results: results.map(resultOf).filter((one) => one !== null) }
}

/** List is what a coordinator collected: results of volunteers, and the bar. It is kept apart from the results of whoever practises at this device. */
export class List {
  bar = $state.raw<ReadinessBar | null>(null)
  results = $state.raw<PracticeResult[]>([])
  trouble = $state<Trouble>('')
  #drawer: Drawer<Content>

  constructor(texts: Texts | undefined = browserTexts()) {
    this.#drawer = new Drawer({ key: 'whistlestop.coordinator', version: 1, empty: () => ({ bar: null, results: [] }), sound }, texts)
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

  /** Takes results, each once. */
  add(more: PracticeResult[]): { added: number; twice: number } {
    let count = { added: 0, twice: 0 }
    this.#change((before) => {
      const { all, ...counted } = merge(before.results, more)
      count = counted
      return { ...before, results: all }
    })
    return count
  }

  setBar(bar: ReadinessBar | null): void {
    this.#change((before) => ({ ...before, bar }))
  }

  /** Takes out somebody with all their results, which are the answer. */
  forget(name: string): PracticeResult[] {
    const gone = this.results.filter((one) => sameName(one.name, name))
    this.#change((before) => ({ ...before, results: before.results.filter((one) => !sameName(one.name, name)) }))
    return gone
  }

  /** Takes out everybody. */
  clear(): void {
    this.#drawer.clearAside()
    this.#change((before) => ({ ...before, results: [] }))
  }

  #change(how: (before: Content) => Content): void {
    this.#show(this.#drawer.change(how))
  }

  #show(content: Content): void {
    this.bar = content.bar
    this.results = content.results
    this.trouble = this.#drawer.trouble
  }
}
