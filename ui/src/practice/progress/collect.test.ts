import { describe, expect, it } from 'vitest'
import type { PracticeResult } from '../../base/contract/contract'
import type { Engine } from '../engine'
import { collect } from './collect'
import { barOf, fileOf, readFile } from './files'
import { List } from './list.svelte'

const result = (name: string, day = 10): PracticeResult =>
  ({ name, seat: 'box', script: 'standard', level: 3, drill: false, day, score: 90, skills: [] })
const code = '04AG0-9R0D9-7AB3C-00TYZ-K4M2Q-7V'
const broken = '14AG0-9R0D9-7AB3C-00TYZ-K4M2Q-7V'

/** An engine that knows one code. */
class Double implements Engine {
  asked: string[] = []
  call(method: string, path: string, body: string) {
    this.asked.push(`${method} ${path}`)
    const lines = (JSON.parse(body) as { text: string }).text.split('\n')
    const results = lines.filter((one) => one === code).map(() => result('Wren'))
    const bad = lines.filter((one) => one !== code).map((text) => ({ text, why: 'a letter is wrong' }))
    return Promise.resolve({ status: 200, body: JSON.stringify({ results, bad }) })
  }
}

class Memory {
  readonly kept = new Map<string, string>()
  getItem(key: string) { return this.kept.get(key) ?? null }
  setItem(key: string, value: string) { this.kept.set(key, value) }
  removeItem(key: string) { this.kept.delete(key) }
}

describe('collecting', () => {
  it('reads codes out of messages, and says which cannot be read', async () => {
    const read = await collect(new Double(), `Hi! Wren here: ${code}\nand mine is ${broken}. Bye`)
    expect(read.results.map((one) => one.name)).toEqual(['Wren'])
    expect(read.bad).toEqual([{ text: broken, why: 'a letter is wrong' }])
  })
  it('asks nobody when there is nothing to read', async () => {
    const engine = new Double()
    expect(await collect(engine, 'Good morning!')).toEqual({ results: [], bar: null, bad: [], newer: false })
    expect(engine.asked).toEqual([])
  })
  it('reads a file with what is sound in it, and a whole list with its bar', async () => {
    const bar = { score: 80, games: 1, level: 3, skill: 60 }
    const read = await collect(new Double(), fileOf([result('Wren'), result('Linnet')], bar).replace('Linnet', ''))
    expect(read.results.map((one) => one.name)).toEqual(['Wren'])
    expect(read.bad).toHaveLength(1)
    expect(read.bar).toEqual(bar)
  })
  it('says that a file is of a newer program', async () => {
    expect((await collect(new Double(), fileOf([]).replace('"version": 1', '"version": 2'))).newer).toBe(true)
    expect(readFile('{"kind":"something"}')).toBeNull()
  })
  it('takes no bar that cannot be', () => {
    expect(barOf({ score: 101, games: 1, level: 3, skill: 60 })).toBeNull()
    expect(barOf({ score: 90, games: 0, level: 3, skill: 60 })).toBeNull()
  })
})

describe('the list of a coordinator', () => {
  it('takes each result once, and is the same in another tab', () => {
    const texts = new Memory()
    const list = new List(texts)
    expect(list.add([result('Wren'), result('Linnet')])).toEqual({ added: 2, twice: 0 })
    expect(new List(texts).add([result('wren'), result('Wren', 11)])).toEqual({ added: 1, twice: 1 })
    list.read()
    expect(list.results).toHaveLength(3)
  })
  it('forgets one, and can put them back; clears all, and keeps the bar', () => {
    const texts = new Memory()
    const list = new List(texts)
    list.setBar({ score: 80, games: 1, level: 3, skill: 60 })
    list.add([result('Wren'), result('Linnet'), result('Wren', 11)])
    const gone = list.forget('WREN')
    expect([...texts.kept.values()].join()).not.toContain('Wren')
    list.add(gone)
    expect(list.results).toHaveLength(3)
    list.clear()
    expect(new List(texts).results).toEqual([])
    expect(new List(texts).bar?.score).toBe(80)
  })
})
