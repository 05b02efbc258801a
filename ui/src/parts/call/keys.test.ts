import '../../base/words/setup'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { CallBuilder } from './builder.svelte'
import type { Vocabulary } from './grammar'
import { typeInto } from './typing'
import { t } from '../../base/words/words'
import page from '../../../../docs/keys.md?raw'
import { type KeyAct, keyTable, meaningOf, type Place, type Press, quietFor } from '../../base/keys/keys'

const words: Vocabulary = {
  calls: [{ id: 'roughing', name: 'Roughing', usual: ['minor'] }, { id: 'tripping', name: 'Tripping', usual: ['minor'] }],
  teams: [{ side: 'home', name: 'Kelp Bay', numbers: ['12'] }, { side: 'visitors', name: 'Lanternside', numbers: ['4', '21'] }],
}

const press = (key: string, more: Partial<Press> = {}): Press => ({
  key, code: key === ' ' ? 'Space' : /^\d$/.test(key) ? `Digit${key}` : '', ctrlKey: false, metaKey: false, altKey: false, shiftKey: false, ...more,
})

/** A command line that has the focus, under hands that type. */
class Line {
  readonly builder = new CallBuilder()
  readonly did: string[] = []

  hit(key: string): void {
    const { builder } = this
    const meaning = meaningOf(press(key), {
      at: builder.line === '' ? 'command-empty' : 'command', letters: true,
      quiet: performance.now() - builder.typedAt >= quietFor, amid: builder.amid,
    })
    if (meaning && meaning.act !== 'type') {
      this.did.push(meaning.act)
      if (meaning.act === 'back') builder.back()
      if (meaning.act === 'help') builder.typedAt = performance.now()
    } else if (key === 'Enter') {
      builder.typedAt = performance.now()
      if (builder.ready) builder.clear()
    } else if (key === 'Backspace') {
      builder.typedAt = performance.now()
      if (builder.line !== '') typeInto(builder, builder.line.slice(0, -1), words)
    } else typeInto(builder, builder.line + key, words)
  }
}

/** What moves the game, and what the keys of a call never do. */
const moves = ['clock', 'correct', 'stage', 'more', 'settle', 'undo', 'redo', 'horn', 'tick', 'check']
const token = fc.constantFrom(
  'h', 'v', 'g', 'p', 't', 'k', 'd', 'n', 'o', '12', '21', '4', '?', 'b', 'by', 'rough', 'trip', 'double', 'major', 'gm', '!', '-', 'en', '@5:13', ';', '+', ' ', '; ', '  ',
)

describe('the keys of the bench', () => {
  beforeEach(() => void vi.useFakeTimers({ toFake: ['performance'] }))
  afterEach(() => void vi.useRealTimers())

  it('of a call never move the clock, in any order, at the pace of typing', () => {
    fc.assert(fc.property(
      fc.array(fc.tuple(fc.oneof({ weight: 4, arbitrary: token }, fc.constantFrom('Enter', 'Backspace')), fc.nat(quietFor - 1)), { maxLength: 60 }),
      (keys) => {
        const line = new Line()
        line.hit('h')
        for (const [text, pause] of keys) {
          const each = text.length > 1 && /^[A-Z]/.test(text) ? [text] : [...text]
          const before = line.did.length
          for (const key of each) line.hit(key)
          // Whoever is told that the space bar came too soon may press it again when the time is over.
          if (line.did.length === before) vi.advanceTimersByTime(pause)
        }
        expect(line.did.filter((one) => moves.includes(one))).toEqual([])
      },
    ))
  })
  it('of a call never move the clock before it is posted, however long somebody thinks', () => {
    fc.assert(fc.property(fc.array(fc.tuple(token, fc.nat(20_000)), { maxLength: 40 }), (keys) => {
      const line = new Line()
      for (const key of 'h 12 rough;') line.hit(key)
      for (const [text, pause] of keys) {
        vi.advanceTimersByTime(pause)
        for (const key of text) line.hit(key)
      }
      expect(line.did.filter((one) => moves.includes(one))).toEqual([])
    }))
  })
  it('keep two calls of one line apart without touching the clock', () => {
    const line = new Line()
    for (const key of 'h 12 rough; v 21 rough') line.hit(key)
    expect(line.did).toEqual(['too-soon'])
    expect(line.builder.collected).toHaveLength(1)
    expect(line.builder.current).toMatchObject({ side: 'visitors', who: '21', call: 'roughing' })
  })
  it('of a call include the one that deletes: in an empty line it is typing as well', () => {
    const line = new Line()
    line.hit('Enter')
    vi.advanceTimersByTime(quietFor - 1)
    line.hit('Backspace')
    vi.advanceTimersByTime(quietFor - 1)
    line.hit(' ')
    expect(line.did).toEqual(['too-soon'])
  })
  it('leave the space bar to the clock once the line was left alone', () => {
    const line = new Line()
    line.hit(' ')
    for (const key of 'h 12 rough') line.hit(key)
    line.hit('Enter')
    line.hit(' ')
    vi.advanceTimersByTime(quietFor)
    line.hit(' ')
    expect(line.did).toEqual(['clock', 'too-soon', 'clock'])
  })
  it('answer questions only with a modifier, wherever the focus is', () => {
    for (const at of ['command', 'command-empty', 'field', 'control', 'page'] as Place[]) {
      for (const digit of '123456789') {
        const found = { at, letters: true, quiet: true, amid: false }
        expect(meaningOf(press(digit), found)?.act).not.toBe('settle')
        // A keyboard may make another sign of the digit with Alt.
        const alt = meaningOf(press('¡', { code: `Digit${digit}`, altKey: true }), found)
        expect(alt).toEqual(at === 'field' ? null : { act: 'settle', digit })
      }
    }
  })
  it('work everywhere where no call has them', () => {
    for (const at of ['command', 'command-empty', 'field', 'control', 'page'] as Place[]) {
      const found = { at, letters: false, quiet: false, amid: true }
      const acts = (['F2', 'F4', 'F8', 'F9'] as const).flatMap((key) => [false, true].map((shiftKey) => meaningOf(press(key, { shiftKey }), found)?.act))
      expect(acts).toEqual(['clock', 'correct', 'stage', 'more', 'horn', 'horn', 'tick', 'check'])
    }
  })
  it('are those of the table, which the help and the page of keys show', () => {
    const found = { at: 'page' as Place, letters: true, quiet: true, amid: false }
    for (const act of Object.keys(keyTable) as KeyAct[]) {
      const { shown } = keyTable[act]
      expect(page, act).toContain(`| **${shown}** | ${t(`help.key.${act}`)} |`)
      if (act === 'collect') continue // it ends a typed call: the line takes it
      const names: Record<string, string> = { Esc: 'Escape' }
      const parts = shown.split(' ')
      const key = parts[parts.length - 1] ?? ''
      const made = press(names[key] ?? (parts.length > 1 && key.length === 1 ? key.toLowerCase() : key), {
        shiftKey: parts.includes('Shift'), ctrlKey: parts.includes('Ctrl'), altKey: parts.includes('Alt'),
      })
      expect(meaningOf(made, found)?.act, shown).toBe(act)
    }
  })
})
