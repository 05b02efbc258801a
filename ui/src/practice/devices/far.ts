import type { Link, Source } from '../../base/transport/link'
import type { Where } from './phone.svelte'
import { fromBase64, toBase64, type FromBench, type FromDevice, type Wire } from './wire'

/** Where a device keeps the token of its seat, so that it still is one after a reload. */
const tokenKey = 'whistlestop.device-token'

const open = 1
const closed = 2

/** Stands for the stream of a bench on the other end of a wire. */
class FarSource extends EventTarget implements Source {
  readyState: number = open
  constructor(private readonly end: () => void) {
    super()
  }
  tell(name: string, data: string, lastEventId: string): void {
    if (this.readyState === open) this.dispatchEvent(name === 'error' ? new Event('error') : new MessageEvent(name, { data, lastEventId }))
  }
  /** Nothing more comes: whoever hears has to ask anew. */
  lose(): void {
    this.readyState = closed
    this.dispatchEvent(new Event('error'))
  }
  close(): void {
    this.readyState = closed
    this.end()
  }
}

/**
 * Far is a device's side: a link to the bench over a wire, which may be another one later. While there is
 * none, questions fail as across a network that is cut.
 */
export class Far {
  #wire: Wire | undefined
  readonly #waiting = new Map<number, { done: (answer: Extract<FromBench, { answer: number }>) => void; fail: (why: Error) => void }>()
  readonly #sources = new Map<number, FarSource>()
  #newest = 0
  readonly link: Link

  constructor(private readonly shelf: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>, private readonly turned: (up: boolean) => void = () => undefined, private readonly told: (where: Where) => void = () => undefined) {
    this.link = {
      can: { seats: false, copies: true, pages: false, keeps: true, shares: false },
      fetch: (path, init) => this.#ask(path, init),
      listen: (path) => this.#listen(path),
    }
  }

  /** The token of the seat; empty: there is none. */
  get token(): string {
    return this.shelf.getItem(tokenKey) ?? ''
  }

  /** Forgets the seat: this device asks for another one. */
  leave(): void {
    this.shelf.removeItem(tokenKey)
  }

  /** Speaks over this wire from now on. */
  over(wire: Wire): void {
    this.#wire?.close()
    this.#wire = wire
    wire.listen(
      (text) => this.#hear(JSON.parse(text) as FromBench),
      (up) => {
        if (this.#wire !== wire) return
        if (!up) this.#lose()
        this.turned(up)
      },
    )
  }

  #send(message: FromDevice): void {
    if (!this.#wire?.up) throw new TypeError('the bench is not reached')
    this.#wire.send(JSON.stringify(message))
  }

  async #ask(path: string, { method = 'GET', body, signal }: RequestInit): Promise<Response> {
    const bytes = new Uint8Array(await new Response(body ?? '').arrayBuffer())
    const ask = ++this.#newest
    const answer = await new Promise<Extract<FromBench, { answer: number }>>((done, fail) => {
      this.#waiting.set(ask, { done, fail })
      signal?.addEventListener('abort', () => fail(new TypeError('the bench did not answer in time')), { once: true })
      this.#send({ ask, method, path, body: toBase64(bytes), token: this.token })
    }).finally(() => this.#waiting.delete(ask))
    if (answer.paired) this.shelf.setItem(tokenKey, answer.paired)
    if (answer.leaves) this.leave()
    return new Response(fromBase64(answer.body), { status: answer.status, headers: { 'content-type': answer.media, 'x-name': answer.name } })
  }

  #listen(path: string): Source {
    const listen = ++this.#newest
    const source = new FarSource(() => {
      this.#sources.delete(listen)
      if (this.#wire?.up) this.#send({ deaf: listen })
    })
    this.#sources.set(listen, source)
    queueMicrotask(() => {
      try {
        source.dispatchEvent(new Event('open'))
        this.#send({ listen, path, token: this.token })
      } catch {
        this.#sources.delete(listen)
        source.lose()
      }
    })
    return source
  }

  #hear(message: FromBench): void {
    if ('answer' in message) this.#waiting.get(message.answer)?.done(message)
    else if ('room' in message) this.told(message)
    else this.#sources.get(message.heard)?.tell(message.event, message.data, message.lastEventId)
  }

  #lose(): void {
    for (const { fail } of this.#waiting.values()) fail(new TypeError('the bench is not reached'))
    for (const source of this.#sources.values()) source.lose()
    this.#sources.clear()
  }
}
