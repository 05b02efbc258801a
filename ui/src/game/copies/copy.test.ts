import { sha256 } from '@noble/hashes/sha2.js'
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js'
import fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { checkLines, gameOf, linesOf, noHead } from './chain'
import { Mirror } from './mirror.svelte'
import type { CopyShelf } from './shelf'

const game = '01JD0000000000000000000000'

/** A ledger of `count` lines, each with the digest of the one before it. */
function ledger(count: number, words = 'entry', before: string[] = []): string[] {
  const lines = [...before]
  for (let seq = lines.length + 1; seq <= count; seq++) {
    const last = lines[lines.length - 1]
    const prev = last === undefined ? {} : { prev: bytesToHex(sha256(utf8ToBytes(last))) }
    lines.push(JSON.stringify({ source: `/game/${game}`, seq, ...prev, data: { words: `${words} ${seq} – ünïcode` } }))
  }
  return lines
}
const text = (lines: string[]) => lines.map((line) => `${line}\n`).join('')

class Memory implements CopyShelf {
  readonly kept = new Map<string, string[]>()
  grew = 0
  broken = false
  read = (copy: string) => this.broken ? Promise.reject(new Error()) : Promise.resolve([...(this.kept.get(copy) ?? [])])
  add = (copy: string, from: number, lines: string[]) => {
    if (this.broken) return Promise.reject(new Error('full'))
    const all = this.kept.get(copy) ?? []
    all.splice(from, lines.length, ...lines)
    this.kept.set(copy, all)
    return Promise.resolve()
  }
  rename = async (copy: string, to: string) => {
    this.kept.set(to, this.kept.get(copy) ?? [])
    this.kept.delete(copy)
  }
  remove = async (copy: string) => void this.kept.delete(copy)
  list = async () => [...this.kept.keys()].map((copy) => ({ copy, grew: this.grew }))
}

/** A bench whose ledger can be exchanged. */
function bench(lines: string[]) {
  const it = { lines, asked: [] as number[], fetch: (after: number) => {
    it.asked.push(after)
    return Promise.resolve(text(it.lines.slice(after)))
  } }
  return it
}

async function opened(fetch: (after: number) => Promise<string>, shelf: CopyShelf, now = () => 1000) {
  const mirror = new Mirror(game, fetch, shelf, now)
  await mirror.open()
  return mirror
}

describe('a chain of lines', () => {
  it('holds however it is cut into pieces', () => {
    const lines = ledger(12)
    fc.assert(fc.property(fc.integer({ min: 0, max: 12 }), (cut) => {
      const first = checkLines(lines.slice(0, cut))
      const rest = checkLines(lines.slice(cut), first.head)
      expect([first.bad, rest.bad, rest.head.seq]).toEqual([null, null, 12])
    }))
  })
  it('breaks at the line after any change, and at a line left out or moved', () => {
    const lines = ledger(12)
    fc.assert(fc.property(fc.integer({ min: 0, max: 10 }), fc.integer({ min: 0, max: 400 }), fc.constantFrom('change', 'leave', 'swap'), (at, place, how) => {
      const bad = [...lines]
      const line = bad[at] ?? ''
      const i = place % line.length
      if (how === 'change') bad[at] = line.slice(0, i) + (line[i] === 'x' ? 'y' : 'x') + line.slice(i + 1)
      else if (how === 'leave') bad.splice(at, 1)
      else [bad[at], bad[at + 1]] = [bad[at + 1] ?? '', line]
      const found = checkLines(bad).bad
      expect(found?.seq).toBeGreaterThanOrEqual(at + 1)
      expect(found?.seq).toBeLessThanOrEqual(at + 2)
    }))
  })
  it('is made with the digest that the platform has where it has one', async () => {
    const [line = ''] = ledger(1)
    const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(line))
    expect(checkLines([line]).head.hash).toBe([...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join(''))
  })
  it('never fails on what is no ledger', () => {
    fc.assert(fc.property(fc.array(fc.oneof(fc.string(), fc.json())), (lines) => {
      expect(checkLines(lines).good.length).toBeLessThanOrEqual(lines.length)
      expect(gameOf(lines[0])).toMatch(/^([0-9A-Z]{26})?$/)
    }))
    expect(checkLines(linesOf('\n')).head).toEqual(noHead)
    expect(gameOf(ledger(1)[0])).toBe(game)
  })
})

describe('the copy of a ledger', () => {
  it('follows the bench, asks for what is new only, and is the same file', async () => {
    const shelf = new Memory()
    const rink = bench(ledger(5))
    const mirror = await opened(rink.fetch, shelf)
    await mirror.follow(5)
    rink.lines = ledger(9, 'entry', rink.lines)
    await mirror.follow(9)
    expect([mirror.head.seq, mirror.trouble, rink.asked]).toEqual([9, '', [0, 5]])
    expect(await mirror.text()).toBe(text(rink.lines))
    const later = await opened(rink.fetch, shelf)
    expect([later.head, later.checked]).toEqual([mirror.head, true])
  })
  it('grows to any ledger in any steps, also over silences', async () => {
    const lines = ledger(20)
    await fc.assert(fc.asyncProperty(fc.array(fc.tuple(fc.integer({ min: 1, max: 20 }), fc.boolean()), { maxLength: 12 }), async (steps) => {
      const shelf = new Memory()
      let heard = true
      let known = 0
      const mirror = await opened((after) => heard ? Promise.resolve(text(lines.slice(after, known))) : Promise.reject(new Error()), shelf)
      for (const [seq, hears] of steps) {
        known = Math.max(known, seq)
        heard = hears
        await mirror.follow(known)
      }
      heard = true
      await mirror.follow(known)
      expect(mirror.trouble).toBe('')
      expect(shelf.kept.get(game) ?? []).toEqual(lines.slice(0, known))
    }))
  })
  it('keeps what the bench has lost, and says so', async () => {
    const shelf = new Memory()
    const rink = bench(ledger(9))
    const mirror = await opened(rink.fetch, shelf)
    await mirror.follow(9)
    rink.lines = rink.lines.slice(0, 6)
    await mirror.follow(6)
    expect([mirror.trouble, mirror.head.seq, shelf.kept.get(game)?.length]).toEqual(['ahead', 9, 9])
    // The bench got its entries back.
    rink.lines = ledger(10)
    await mirror.follow(10)
    expect([mirror.trouble, mirror.head.seq]).toEqual(['', 10])
  })
  it('stays beside a ledger that went another way', async () => {
    const shelf = new Memory()
    const rink = bench(ledger(9))
    const mirror = await opened(rink.fetch, shelf)
    await mirror.follow(9)
    const old = rink.lines
    rink.lines = ledger(12, 'other', old.slice(0, 6))
    await mirror.follow(12)
    expect([mirror.trouble, mirror.head.seq]).toEqual(['forked', 12])
    expect(shelf.kept.get(`${game}/1000`)).toEqual(old)
    expect(shelf.kept.get(game)).toEqual(rink.lines)
  })
  it('finds a line that was changed in the copy, and fetches it anew', async () => {
    const shelf = new Memory()
    const rink = bench(ledger(9))
    await (await opened(rink.fetch, shelf)).follow(9)
    shelf.kept.get(game)?.splice(3, 1, '{}')
    const mirror = await opened(rink.fetch, shelf)
    expect([mirror.trouble, mirror.head.seq]).toEqual(['damaged', 0])
    await mirror.follow(9)
    expect(shelf.kept.get(game)).toEqual(rink.lines)
  })
  it('takes nothing that does not follow', async () => {
    const shelf = new Memory()
    const lines = ledger(9)
    const mirror = await opened(() => Promise.resolve(text([...lines.slice(0, 4), ...lines.slice(5)])), shelf)
    await mirror.follow(9)
    expect([mirror.trouble, shelf.kept.get(game)?.length]).toEqual(['bad_answer', 4])
  })
  it('says when the browser keeps nothing', async () => {
    const shelf = new Memory()
    shelf.broken = true
    expect((await opened(vi.fn(), shelf)).trouble).toBe('full')
  })
  describe('when a name is taken out at the bench', () => {
    const digest = (line: string) => bytesToHex(sha256(utf8ToBytes(line)))
    const follow = (prev: string, seq: number, more: object) => JSON.stringify({ source: `/game/${game}`, seq, prev: digest(prev), ...more })
    const beside = (commitment: string, name: string) => `{"specversion":"1.0","id":"${commitment}","data":{"text":"${name}"}}`
    const said = (prev: string, seq: number, body: object) => follow(prev, seq, { type: 'whistlestop.withdrawn.v1', data: { body } })

    it('goes from the copy, and from those that were set aside', async () => {
      const shelf = new Memory()
      const [first = '', second = ''] = ledger(2)
      const withNames = [`${first}\n${beside('#a', 'Rowan Tidewell')}\n${beside('#b', 'Idris Calloway')}`, second]
      shelf.kept.set(`${game}/5`, withNames)
      const it = bench(withNames)
      const mirror = await opened(it.fetch, shelf)
      await mirror.follow(2)
      it.lines = [...withNames, said(second, 3, { texts: ['#a'] })]
      await mirror.follow(3)
      const kept = [...shelf.kept.values()].flat().join('\n')
      expect(kept).not.toContain('Rowan')
      expect(kept.split('Idris')).toHaveLength(3)
      expect([mirror.head.seq, mirror.trouble]).toEqual([3, ''])
    })

    it('takes the lines that took the place of older ones, and tries again where they did not come', async () => {
      const shelf = new Memory()
      const lines = ledger(3, 'Rowan Tidewell')
      shelf.kept.set(`${game}/5`, lines)
      const it = bench(lines)
      const mirror = await opened(it.fetch, shelf)
      await mirror.follow(3)
      const [first = '', second = '', third = ''] = lines
      const instead = JSON.stringify({ ...JSON.parse(second), data: { words: '#c' }, was: digest(second) })
      const other = JSON.stringify({ ...JSON.parse(first), data: { words: '#d' }, was: digest(first) })
      const last = JSON.stringify({ ...JSON.parse(third), data: { words: '#e' }, was: digest(third) })
      const more = said(third, 4, { texts: ['#c', '#d', '#e'], lines: [{ entry: 'x', hash: 'y' }] })
      it.lines = [...lines.slice(0, 1), 'broken', third, more]
      await mirror.follow(4)
      expect(mirror.head.seq).toBe(3)
      it.lines = [other, instead, last, more]
      await mirror.follow(4)
      expect([...shelf.kept.keys()]).toEqual([game])
      expect(await mirror.text()).toBe(text(it.lines))
      expect([mirror.head.seq, mirror.trouble]).toEqual([4, ''])
    })
  })

  it('is deleted with the seat, and after a month', async () => {
    const shelf = new Memory()
    const rink = bench(ledger(3))
    const mirror = await opened(rink.fetch, shelf)
    await mirror.follow(3)
    shelf.kept.set(`${game}/7`, ['x'])
    shelf.kept.set('other', ['y'])
    await mirror.forget()
    await mirror.follow(3)
    expect([...shelf.kept.keys()]).toEqual(['other'])
    await opened(rink.fetch, shelf, () => 31 * 24 * 3_600_000)
    expect(shelf.kept.size).toBe(0)
  })
})
