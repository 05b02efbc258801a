import { describe, expect, it } from 'vitest'
import type { ScriptTitle } from '../../base/contract/contract'
import { Setup, minutes } from './setup.svelte'

const title = (id: string): ScriptTitle =>
  ({ id, title: id, division: 'U14', level: 2, short: true, length_ms: 90_000, skills: ['minor'], clock: 'lead', added: false })

class Memory {
  readonly kept = new Map<string, string>()
  getItem(key: string) { return this.kept.get(key) ?? null }
  setItem(key: string, value: string) { this.kept.set(key, value) }
  removeItem(key: string) { this.kept.delete(key) }
}

/** An engine in which everything is due that was not practised. */
class Double {
  broken = ''
  call(_: string, path: string, body: string) {
    if (this.broken !== '') return Promise.resolve({ status: 400, body: JSON.stringify({ title: 'No.', detail: this.broken }) })
    const answers: Record<string, (sent: Record<string, unknown>) => unknown> = {
      '/practice/scripts': () => body === '' ? { scripts: [title('drill-minor')] } : title('added'),
      '/divisions': () => ({ divisions: [{ id: 'harbour-u14', name: 'Under 14' }] }),
      '/practice/today': (sent) => ({
        due: [{ skill: 'minor', drill: 'drill-minor', since: 0, why: { key: 'x' } }].filter(() => (sent['results'] as unknown[]).length === 0),
        ready: { name: sent['name'], seat: sent['seat'], status: 'not_yet', best: 0, games: 0, last: 0, weak: [], lacks: [] },
      }),
    }
    return Promise.resolve({ status: 200, body: JSON.stringify(answers[path]?.(body === '' ? {} : JSON.parse(body) as Record<string, unknown>)) })
  }
}

describe('what a practice is chosen from', () => {
  it('begins step by step for the whole bench, and remembers another choice', () => {
    const texts = new Memory()
    const first = new Setup(new Double(), texts)
    expect([first.seat, first.pace]).toEqual(['solo', 'step'])
    first.choose('box', 'fast')
    const again = new Setup(new Double(), texts)
    expect([again.seat, again.pace]).toEqual(['box', 'fast'])
    texts.kept.set('whistlestop.practice.setup', 'goal none')
    expect(new Setup(new Double(), texts).seat).toBe('solo')
  })
  it('begins with one seat on a phone, until somebody chooses another', () => {
    const texts = new Memory()
    const first = new Setup(new Double(), texts, true)
    expect(first.seat).toBe('clock')
    first.choose('solo', 'step')
    expect(new Setup(new Double(), texts, true).seat).toBe('solo')
  })
  it('knows what is due, and which drills the seat needs at all', async () => {
    const setup = new Setup(new Double(), new Memory())
    await setup.load()
    await setup.look('Wren', [{ name: 'Wren', seat: 'solo', script: 'x', level: 1, drill: true, day: 1, score: 100, skills: [] }])
    expect(setup.due).toEqual([])
    expect(setup.wanted).toEqual(['drill-minor'])
    expect(setup.ready?.name).toBe('Wren')
    await setup.look('', [])
    expect(setup.due.map((one) => setup.script(one.drill)?.title)).toEqual(['drill-minor'])
  })
  it('tells in the words of the engine why a file cannot be used', async () => {
    const engine = new Double()
    const setup = new Setup(engine, undefined)
    engine.broken = 'first.practice, line 5: nothing is called "gaol".'
    await expect(setup.add('first.practice', 'x')).rejects.toThrow('line 5')
    await setup.load()
    expect(setup.why).toContain('line 5')
  })
  it('says lengths in minutes, and never none', () => {
    expect([20_000, 89_000, 91_000, 2_640_000].map(minutes)).toEqual([1, 1, 2, 44])
  })
})
