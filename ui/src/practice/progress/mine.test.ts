import { describe, expect, it } from 'vitest'
import type { PracticeResult } from '../../base/contract/contract'
import type { Texts } from './drawer'
import { Mine } from './mine.svelte'

class Memory implements Texts {
  readonly kept = new Map<string, string>()
  getItem(key: string) { return this.kept.get(key) ?? null }
  setItem(key: string, value: string) { this.kept.set(key, value) }
  removeItem(key: string) { this.kept.delete(key) }
}

const result = (name: string, day: number): PracticeResult =>
  ({ name, seat: 'box', script: 'standard', level: 3, drill: false, day, score: 90, skills: [] })

describe('what a device keeps', () => {
  it('remembers who practises, each once', () => {
    const texts = new Memory()
    const mine = new Mine(texts)
    expect(mine.choose('  ')).toBe(false)
    mine.choose('Wren')
    mine.choose('Linnet')
    mine.choose(' wren')
    expect([mine.who, ...mine.people]).toEqual(['Wren', 'Wren', 'Linnet'])
    expect(new Mine(texts).who).toBe('Wren')
  })
  it('keeps results of two tabs, the newest first for each person', () => {
    const texts = new Memory()
    const one = new Mine(texts)
    const two = new Mine(texts)
    one.choose('Wren')
    one.keep(result('Wren', 10), 'A')
    two.keep(result('Wren', 12), 'B')
    one.keep(result('Linnet', 11), 'C')
    expect(one.of('wren').map((kept) => kept.code)).toEqual(['B', 'A'])
    two.read()
    expect(two.all).toHaveLength(3)
  })
  it('takes a result out, and puts it back where it was', () => {
    const mine = new Mine(new Memory())
    const [, middle] = [10, 11, 12].map((day) => mine.keep(result('Wren', day), String(day)))
    mine.remove(middle?.id ?? '')
    expect(mine.of('Wren').map((kept) => kept.code)).toEqual(['12', '10'])
    if (middle) mine.putBack(middle)
    if (middle) mine.putBack(middle)
    expect(mine.of('Wren').map((kept) => kept.code)).toEqual(['12', '11', '10'])
  })
  it('forgets a person whole, and nobody else', () => {
    const texts = new Memory()
    texts.kept.set('whistlestop.practice', 'Wren and more that nobody can read')
    const mine = new Mine(texts)
    expect(mine.trouble).toBe('damaged')
    mine.choose('Linnet')
    mine.choose('Wren')
    mine.keep(result('Wren', 10), 'A')
    mine.keep(result('Linnet', 10), 'B')
    mine.forget('wren')
    expect([mine.who, ...mine.people]).toEqual(['Linnet', 'Linnet'])
    expect([...texts.kept.values()].join()).not.toContain('Wren')
    expect(mine.all.map((one) => one.name)).toEqual(['Linnet'])
  })
  it('takes what is sound of what is in the browser', () => {
    const texts = new Memory()
    const good = { id: 'x', code: 'A', result: result('Wren', 1) }
    texts.kept.set('whistlestop.practice', JSON.stringify({
      version: 1, content: { who: 'Wren', people: ['Wren', '', 7], results: [good, null, { id: 'y', code: 'B', result: { name: 'Wren' } }] },
    }))
    const mine = new Mine(texts)
    expect(mine.people).toEqual(['Wren'])
    expect(mine.results).toEqual([good])
  })
})
