import fc from 'fast-check'
import { expect, test, vi } from 'vitest'
import type { Source } from '../../base/transport/link'
import { answerDevice, type Answers, type Device } from './answer'
import { Far } from './far'
import { pieces, Pieces, type Wire } from './wire'

/** Two ends of a wire that can be cut. What is under way when it is cut is lost. */
class End implements Wire {
  up = false
  other: End | undefined
  ended = false
  #heard: (text: string) => void = () => undefined
  #turned: (up: boolean) => void = () => undefined
  send(text: string): void {
    if (this.up) queueMicrotask(() => this.other?.up && this.other.#heard(text))
  }
  listen(heard: (text: string) => void, turned: (up: boolean) => void): void {
    this.#heard = heard
    this.#turned = turned
    if (this.up) turned(true)
  }
  turn(up: boolean): void {
    this.up = up
    this.#turned(up)
  }
  close(): void {
    this.ended = true
    this.turn(false)
  }
}

class Quiet extends EventTarget implements Source {
  readyState = 1
  close(): void {
    this.readyState = 2
  }
}

function linked() {
  const [one, two] = [new End(), new End()]
  one.other = two
  two.other = one
  const asked: { path: string; device: Device; text: string }[] = []
  const sources: Quiet[] = []
  const held: (() => void)[] = []
  const bench: Answers = {
    ask: async (method, path, body, device) => {
      asked.push({ path: `${method} ${path}`, device, text: new TextDecoder().decode(body) })
      if (path === '/slow') await new Promise<void>((resolve) => held.push(resolve))
      const paired = path === '/join/1' ? 'its token' : ''
      return { status: 200, media: 'application/json', name: '', body: new TextEncoder().encode('{"name":"Ärla"}'), paired, leaves: method === 'DELETE' }
    },
    hub: () => Promise.resolve({ address: '', secret: '' }),
    listen: () => {
      const source = new Quiet()
      sources.push(source)
      return source
    },
  }
  answerDevice(two, bench, 'a link', () => ({ room: '', mark: '' }))
  const shelf = new Map<string, string>()
  const far = new Far({
    getItem: (key) => shelf.get(key) ?? null, setItem: (key, value) => void shelf.set(key, value), removeItem: (key) => void shelf.delete(key),
  })
  far.over(one)
  const turn = (up: boolean) => [two, one].forEach((end) => end.turn(up))
  turn(true)
  return { one, two, far, asked, sources, held, turn }
}

test('a device asks the bench over a wire, and shows the token that it was given', async () => {
  const { far, asked } = linked()
  expect(await (await far.link.fetch('/join/1', { method: 'POST', body: '{"a":"ö"}' })).json()).toEqual({ name: 'Ärla' })
  await far.link.fetch('/session', {})
  expect(asked).toEqual([
    { path: 'POST /join/1', device: { token: '', from: 'a link' }, text: '{"a":"ö"}' }, { path: 'GET /session', device: { token: 'its token', from: 'a link' }, text: '' },
  ])
  await far.link.fetch('/session', { method: 'DELETE' })
  expect(far.token).toBe('')
})

test('a cut wire fails what was asked and ends what was heard, and both go on when it is back', async () => {
  const { far, sources, turn } = linked()
  const heard: string[] = []
  const listen = () => {
    const source = far.link.listen('/games/x/stream')
    for (const name of ['state', 'error']) source.addEventListener(name, (event) => heard.push(`${name} ${(event as MessageEvent<string>).data ?? ''}`))
    return source
  }
  const first = listen()
  await vi.waitFor(() => expect(sources).toHaveLength(1))
  sources[0]?.dispatchEvent(new MessageEvent('state', { data: 'one', lastEventId: '1' }))
  await vi.waitFor(() => expect(heard).toEqual(['state one']))
  const waits = far.link.fetch('/slow', {})
  turn(false)
  await expect(waits).rejects.toThrow('not reached')
  expect(first.readyState).toBe(2)
  expect(sources[0]?.readyState).toBe(2)
  await expect(far.link.fetch('/time', {})).rejects.toThrow('not reached')
  expect(listen().readyState).toBe(1)
  await vi.waitFor(() => expect(heard).toEqual(['state one', 'error ', 'error ']))

  turn(true)
  listen()
  await vi.waitFor(() => expect(sources).toHaveLength(2))
  expect((await far.link.fetch('/time', {})).status).toBe(200)
})

test('a device that floods is held back, and one that speaks another language is cut off', async () => {
  const { far, held, two, one } = linked()
  const slow = Array.from({ length: 16 }, () => far.link.fetch('/slow', {}))
  await vi.waitFor(() => expect(held).toHaveLength(16))
  expect((await far.link.fetch('/time', {})).status).toBe(429)
  for (const go of held) go()
  expect((await Promise.all(slow)).map(({ status }) => status)).toEqual(slow.map(() => 200))
  one.send('{')
  await vi.waitFor(() => expect(two.ended).toBe(true))
})

test('a text of any length arrives as it was', () => {
  fc.assert(fc.property(fc.array(fc.string({ unit: 'grapheme', maxLength: 400 }), { maxLength: 400 }), (parts) => {
    const text = parts.join('😀').repeat(3)
    const into = new Pieces()
    const sent = pieces(text)
    const came = sent.map((one) => into.take(new TextDecoder().decode(new TextEncoder().encode(one))))
    expect(came.at(-1)).toBe(text)
    expect(came.slice(0, -1).every((one) => one === undefined)).toBe(true)
  }), { numRuns: 30 })
  expect(() => new Pieces().take('x')).toThrow(RangeError)
  const flood = new Pieces()
  expect(() => {
    for (;;) flood.take('+' + 'x'.repeat(16_000))
  }).toThrow(RangeError)
})
