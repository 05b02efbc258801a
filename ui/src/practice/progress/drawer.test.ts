import { describe, expect, it } from 'vitest'
import { Drawer, type Texts } from './drawer'
import { Held, standInForStorage } from './held'

class Memory implements Texts {
  readonly kept = new Map<string, string>()
  refuses: DOMException | null = null
  getItem(key: string) { return this.kept.get(key) ?? null }
  setItem(key: string, value: string) {
    if (this.refuses) throw this.refuses
    this.kept.set(key, value)
  }
  removeItem(key: string) { this.kept.delete(key) }
}

const numbers = (texts?: Texts) => new Drawer<number[]>({
  key: 'numbers', version: 2, empty: () => [],
  sound: (read) => Array.isArray(read) ? read.filter((one) => typeof one === 'number') : null,
}, texts)
const add = (n: number) => (before: number[]) => [...before, n]

describe('a drawer', () => {
  it('has again what was put in, in another tab as well', () => {
    const texts = new Memory()
    const one = numbers(texts)
    const two = numbers(texts)
    one.change(add(1))
    two.change(add(2))
    expect(one.change(add(3))).toEqual([1, 2, 3])
    expect(two.read()).toEqual([1, 2, 3])
    expect(numbers(texts).trouble).toBe('')
  })
  it('goes on without a browser that keeps anything, and says so', () => {
    const drawer = numbers(undefined)
    expect(drawer.trouble).toBe('forbidden')
    drawer.change(add(1))
    expect(drawer.change(add(2))).toEqual([1, 2])
  })
  it('holds what a full browser does not take, and puts it in later', () => {
    const texts = new Memory()
    const drawer = numbers(texts)
    drawer.change(add(1))
    texts.refuses = new DOMException('no room', 'QuotaExceededError')
    expect(drawer.change(add(2))).toEqual([1, 2])
    expect(drawer.trouble).toBe('full')
    expect(drawer.read()).toEqual([1, 2])
    texts.refuses = null
    expect(drawer.change(add(3))).toEqual([1, 2, 3])
    expect(drawer.trouble).toBe('')
    expect(numbers(texts).read()).toEqual([1, 2, 3])
  })
  it('tells a forbidden browser from a full one', () => {
    const texts = new Memory()
    const drawer = numbers(texts)
    texts.refuses = new DOMException('not here', 'SecurityError')
    drawer.change(add(1))
    expect(drawer.trouble).toBe('forbidden')
  })
  it.each(['{"version":2,"content":', '{"version":2,"content":"no list"}', '{"version":1,"content":[1]}', 'null', '7'])('sets aside what makes no sense: %s', (text) => {
    const texts = new Memory()
    texts.kept.set('numbers', text)
    const drawer = numbers(texts)
    expect(drawer.trouble).toBe('damaged')
    expect(drawer.change(add(1))).toEqual([1])
    expect(texts.kept.get('numbers.damaged')).toBe(text)
  })
  it('leaves alone what a newer program kept', () => {
    const texts = new Memory()
    texts.kept.set('numbers', '{"version":3,"content":{"much":"more"}}')
    const drawer = numbers(texts)
    expect(drawer.trouble).toBe('newer')
    expect(drawer.change(add(1))).toEqual([1])
    expect(texts.kept.get('numbers')).toContain('much')
  })
})

describe('a browser that forbids to keep anything', () => {
  it('gets a stand-in for what the screens remember, and one that allows it is left alone', () => {
    const allowed = new Memory()
    const page = { get localStorage(): Storage { throw new DOMException('no', 'SecurityError') }, sessionStorage: allowed }
    standInForStorage(page as unknown as Window & typeof globalThis)
    expect(page.localStorage).toBeInstanceOf(Held)
    page.localStorage.setItem('a', 'b')
    expect([page.localStorage.getItem('a'), page.localStorage.key(0), page.localStorage.length]).toEqual(['b', 'a', 1])
    expect(page.sessionStorage).toBe(allowed)
  })
})
