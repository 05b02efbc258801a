import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { Events } from './hear'
import { HubWire, keepWhere, keptWhere } from './phone.svelte'
import { Room } from './room.svelte'
import type { Wire } from './wire'

/** A hub in memory, as phones and benches find it by fetch. It keeps all that it was told, to be looked through. */
class Hub {
  seen = ''
  away = false
  /** What becomes of texts on their way. */
  between: (texts: string[]) => string[] = (texts) => texts
  #bench: ReadableStreamDefaultController<Uint8Array> | undefined
  #room = ''
  readonly #phones = new Map<string, ReadableStreamDefaultController<Uint8Array>>()
  #newest = 0

  readonly fetch = async (path: string, { method = 'GET', body, headers, signal }: { method?: string; body?: string; headers?: Record<string, string>; signal?: AbortSignal } = {}): Promise<Response> => {
    this.seen += `${path} ${body ?? ''}\n`
    if (this.away) throw new TypeError('fetch failed')
    if (path.startsWith('/v1/room') && !path.startsWith('/v1/rooms') && headers?.['authorization'] !== 'Bearer the secret') return new Response('', { status: 401 })
    signal?.throwIfAborted()
    if (path.startsWith('/v1/room?salt=')) {
      this.over('replaced') // by another page of the bench
      this.#over()
      this.#room = `harbour.b1-${path.slice('/v1/room?salt='.length)}`
      return this.#stream(signal, (to) => {
        this.#bench = to
        return { room: this.#room }
      }, () => this.#over())
    }
    if (path.endsWith('/stream')) {
      if (!this.#bench || !path.includes(this.#room)) return new Response('', { status: 404 })
      const phone = `p${++this.#newest}`
      return this.#stream(signal, (to) => {
        this.#phones.set(phone, to)
        this.#say(this.#bench, 'here', { phone })
        return { phone }
      }, () => {
        this.#phones.delete(phone)
        this.#say(this.#bench, 'gone', { phone })
      })
    }
    const said = JSON.parse(body ?? '') as unknown
    if (path === '/v1/room') {
      const gone: string[] = []
      for (const { phone, texts } of said as { phone: string; texts: string[] }[]) {
        const to = this.#phones.get(phone)
        if (!to) gone.push(phone)
        else if (texts.length === 0) this.#end(to)
        else this.#say(to, 'texts', { texts: this.between(texts) })
      }
      return Response.json({ gone })
    }
    if (method === 'PUT') return new Response(null, { status: 204 })
    const phone = path.split('/').at(-1) ?? ''
    if (!this.#phones.has(phone)) return new Response('', { status: 404 })
    this.#say(this.#bench, 'texts', { phone, texts: said })
    return new Response(null, { status: 204 })
  }

  /** The process ends, and another one knows nothing of it. */
  restart(): void {
    this.#over()
  }
  over(why: string): void {
    this.#say(this.#bench, 'over', { why })
  }
  #over(): void {
    for (const one of [this.#bench, ...this.#phones.values()]) this.#end(one)
    this.#bench = undefined
    this.#phones.clear()
  }
  #end(to: ReadableStreamDefaultController<Uint8Array> | undefined): void {
    try {
      to?.close()
    } catch {
      // It was over.
    }
  }
  #say(to: ReadableStreamDefaultController<Uint8Array> | undefined, name: string, said: object): void {
    try {
      to?.enqueue(new TextEncoder().encode(`event: ${name}\ndata: ${JSON.stringify(said)}\n\n`))
    } catch {
      // It is over.
    }
  }
  #stream(signal: AbortSignal | undefined, begin: (to: ReadableStreamDefaultController<Uint8Array>) => object, end: () => void): Response {
    return new Response(new ReadableStream<Uint8Array>({
      start: (to) => {
        this.#say(to, 'open', begin(to))
        signal?.addEventListener('abort', () => {
          end()
          try {
            to.error(new TypeError('broken off'))
          } catch {
            // It was over.
          }
        })
      },
    }))
  }
}

class Shelf extends Map<string, string> {
  getItem = (key: string) => this.get(key) ?? null
  setItem = (key: string, value: string) => void this.set(key, value)
  removeItem = (key: string) => void this.delete(key)
}

const paired = { address: 'https://hub.example', secret: 'the secret' }
let hub: Hub
const closed: (() => void)[] = []

beforeEach(() => {
  hub = new Hub()
  vi.stubGlobal('fetch', hub.fetch)
  vi.spyOn(Math, 'random').mockReturnValue(0)
})
afterEach(() => {
  for (const close of closed.splice(0)) close()
  vi.unstubAllGlobals()
  vi.restoreAllMocks()
})

/** A bench that answers each text with the same, in capitals. */
function bench(shelf = new Shelf()): { room: Room; wires: Wire[] } {
  const wires: Wire[] = []
  const room = new Room((wire) => {
    wires.push(wire)
    wire.listen((text) => wire.send(text.toUpperCase()), () => undefined)
  }, shelf)
  closed.push(() => room.close())
  void room.open(paired)
  return { room, wires }
}

function phone(room: string, mark: string): { wire: HubWire; heard: string[]; turns: boolean[]; marks: string[] } {
  const heard: string[] = []
  const turns: boolean[] = []
  const marks: string[] = []
  const wire = new HubWire({ room, mark }, (one) => marks.push(one))
  wire.listen((text) => heard.push(text), (up) => turns.push(up))
  closed.push(() => wire.close())
  return { wire, heard, turns, marks }
}

const soon = { timeout: 5000 }

test('a phone and a bench speak by way of a hub that cannot read it', async () => {
  const { room } = bench()
  await vi.waitFor(() => expect(room.standing).toBe('open'))
  const one = phone(room.room, room.mark)
  const two = phone(room.room, '')
  await vi.waitFor(() => expect([one.wire.up, two.wire.up]).toEqual([true, true]))
  expect(two.marks).toEqual([room.mark])
  const long = 'Ärla 😀 '.repeat(8000)
  for (const text of ['the first', 'the second', long]) one.wire.send(text)
  await vi.waitFor(() => expect(one.heard).toEqual(['THE FIRST', 'THE SECOND', long.toUpperCase()]))
  expect(two.heard).toEqual([])
  expect(hub.seen).not.toMatch(/the first|the second/i) // what is encrypted has letters by chance, and no blanks
  expect(hub.seen).not.toContain(btoa('the first').slice(0, 8))
})

test('after the hub was away, and after either page was loaded again, both go on', async () => {
  const shelf = new Shelf()
  const first = bench(shelf)
  await vi.waitFor(() => expect(first.room.standing).toBe('open'))
  const { room, mark } = first.room
  const one = phone(room, mark)
  await vi.waitFor(() => expect(one.wire.up).toBe(true))
  hub.away = true
  hub.restart()
  await vi.waitFor(() => expect([one.wire.up, first.room.standing]).toEqual([false, 'away']))
  expect(first.wires[0]?.up).toBe(false)
  one.wire.send('lost')
  hub.away = false
  await vi.waitFor(() => expect(one.wire.up).toBe(true), soon)
  one.wire.send('after')
  await vi.waitFor(() => expect(one.heard).toEqual(['AFTER']))
  expect(one.turns).toEqual([false, true, false, true])

  // The bench's page is loaded again: its room and its key are the same.
  const again = bench(shelf)
  expect(again.room.kept).toBe(true)
  await vi.waitFor(() => expect(again.room.standing).toBe('open'))
  expect([again.room.room, again.room.mark]).toEqual([room, mark])
  await vi.waitFor(() => expect(one.wire.up).toBe(true), soon)
  one.wire.send('third')
  await vi.waitFor(() => expect(one.heard.at(-1)).toBe('THIRD'))
  expect(bench(new Shelf()).room.kept).toBe(false)
}, 20_000)

test('a hub that leaves a text out, doubles one or stands in for the bench is found', async () => {
  const { room } = bench()
  await vi.waitFor(() => expect(room.standing).toBe('open'))
  const one = phone(room.room, room.mark)
  for (const [what, between] of Object.entries({ out: (texts: string[]) => texts.slice(1), twice: (texts: string[]) => [...texts, ...texts] })) {
    await vi.waitFor(() => expect(one.wire.up).toBe(true), soon)
    hub.between = (texts) => {
      hub.between = (all) => all
      return between(texts)
    }
    one.wire.send(what)
    one.wire.send('then') // by the next one it is found that one is missing
    await vi.waitFor(() => expect(one.turns.at(-1)).toBe(false))
  }
  const other = phone(room.room, 'another mark')
  await new Promise((resolve) => setTimeout(resolve, 300))
  expect(other.wire.up).toBe(false)
  expect(other.turns).toEqual([false])
}, 20_000)

test('a bench that the hub does not know, and one whose room another device opened, say so', async () => {
  const unknown = new Room(() => undefined, new Shelf())
  await unknown.open({ ...paired, secret: 'none' })
  await vi.waitFor(() => expect(unknown.standing).toBe('ended'))
  const { room } = bench()
  await vi.waitFor(() => expect(room.standing).toBe('open'))
  expect(await room.name('BCDF-GHJK', 60_000)).toBe(true)
  expect([room.elsewhere(paired), room.elsewhere(undefined), unknown.elsewhere(paired)]).toEqual([false, true, true])
  hub.over('replaced')
  await vi.waitFor(() => expect(room.standing).toBe('elsewhere'))
  expect(await room.name('BCDF-GHJK', 60_000)).toBe(false)
})

test('a phone keeps where its bench is', () => {
  const shelf = new Shelf()
  expect(keptWhere(shelf)).toBeUndefined()
  keepWhere(shelf, { room: 'harbour.b1-x', mark: 'y' })
  expect(keptWhere(shelf)).toEqual({ room: 'harbour.b1-x', mark: 'y' })
  keepWhere(shelf)
  expect(keptWhere(shelf)).toBeUndefined()
  shelf.setItem('whistlestop.device-room', '{')
  expect(keptWhere(shelf)).toBeUndefined()
})

test('events are read from pieces of any size', () => {
  const text = 'event: open\ndata: {"a":"b: c"}\n\nevent: beat\ndata: {}\n\n'
  const want = [{ name: 'open', data: '{"a":"b: c"}' }, { name: 'beat', data: '{}' }]
  for (const size of [1, 7, 100]) {
    const events = new Events()
    const got = Array.from({ length: Math.ceil(text.length / size) }, (_, i) => events.take(text.slice(i * size, (i + 1) * size))).flat()
    expect(got).toEqual(want)
  }
})
