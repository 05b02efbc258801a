import '../../base/words/pocket'
import type { Link, Source } from '../../base/transport/link'
import { language, otherTexts, t } from '../../base/words/words'
import type { Device, Hub } from '../devices/answer'
import { AtHand, bytesOf } from '../at-hand'
import { devices } from '../devices/devices.svelte'
import Introduce from '../devices/Introduce.svelte'
import { Clearing } from './clear'
import Copies from './Copies.svelte'
import type { FromBench, ToBench } from './talk'

type Answer = Extract<FromBench, { status: number }>

const answersWithin = 2750 // milliseconds, as long as a bench's beats may be missed
const printed = /\.pdf($|\?)/ // by another thread, which takes its time

/** Stands for the stream of a bench across the network. */
class BenchSource extends EventTarget implements Source {
  readyState = 1
  resting = false
  constructor(private readonly changed: () => void, private readonly end: () => void) {
    super()
  }
  rest(on: boolean): void {
    this.resting = on
    this.changed()
  }
  tell(name: string, data: string, lastEventId = ''): void {
    if (this.readyState === 1) this.dispatchEvent(name === 'error' ? new Event('error') : new MessageEvent(name, { data, lastEventId }))
  }
  close(): void {
    this.readyState = 2
    this.end()
    this.changed()
  }
}

/** The thread of the bench, as its page asks it: for itself, or for another device. */
class Thread {
  readonly #waiting = new Map<number, (answer: Answer) => void>()
  readonly #sources = new Map<number, BenchSource>()
  readonly #hubs = new Map<number, (hub: Hub) => void>()
  readonly #clearing = new Clearing()
  #newest = 0
  #beats = false
  readonly link: Link = {
    near: true,
    // What is copied is saved or shared by hand.
    can: { seats: true, copies: false, pages: true, keeps: true, shares: false },
    breaks: Copies,
    introduce: Introduce,
    fetch: async (path, { method = 'GET', body, signal }) => {
      const bytes = bytesOf(body)
      // A text goes out at once: whoever waits a turn waits for what the page draws meanwhile.
      const answer = await this.ask(method, path, bytes instanceof Uint8Array ? bytes : await bytes, null)
      if (path === '/hub') void devices.paired()
      signal?.throwIfAborted()
      return new AtHand(answer.body, answer.status, { 'content-type': answer.media, 'x-name': answer.name })
    },
    listen: (path) => this.listen(path, null),
  }

  constructor(private readonly worker: Worker) {
    window.addEventListener('hashchange', () => this.#clearing.dropped())
  }

  #send(message: ToBench): void {
    this.worker.postMessage(message)
  }

  ask(method: string, path: string, body: Uint8Array<ArrayBuffer>, device: Device | null): Promise<Answer> {
    const id = ++this.#newest
    this.#clearing.asked()
    return new Promise((resolve) => {
      const late = printed.test(path) ? undefined : setTimeout(() => this.#silent(), answersWithin)
      this.#waiting.set(id, (answer) => {
        clearTimeout(late)
        if (printed.test(path)) this.#clearing.dropped()
        resolve(answer)
      })
      this.#send({ id, method, path, body, device })
    })
  }

  listen(path: string, device: Device | null): Source {
    const listen = ++this.#newest
    const [, , game = ''] = path.split(/[/?]/)
    const source = new BenchSource(() => this.#beat(), () => {
      this.#sources.delete(listen)
      this.#send({ deaf: listen })
    })
    this.#sources.set(listen, source)
    this.#beat()
    queueMicrotask(() => {
      source.dispatchEvent(new Event('open'))
      this.#send({ listen, game, view: path.includes('view=public') ? 'public' : '', device })
    })
    return source
  }

  /** The thread beats while somebody listens who does not rest. */
  #beat(): void {
    const beats = [...this.#sources.values()].some((one) => !one.resting)
    if (beats !== this.#beats) this.#send({ beats })
    this.#beats = beats
  }

  /** Who rests misses no beat: that the thread does not answer is told. */
  #silent(): void {
    for (const one of this.#sources.values()) if (one.resting) one.tell('error', '')
  }

  /** The hub that the bench is paired with; its address is empty where there is none. */
  hub(): Promise<Hub> {
    const hub = ++this.#newest
    return new Promise((resolve) => {
      this.#hubs.set(hub, resolve)
      this.#send({ hub })
    })
  }

  hear(data: FromBench): void {
    if ('hub' in data) {
      this.#hubs.get(data.hub)?.(data)
      this.#hubs.delete(data.hub)
    } else if ('status' in data) {
      this.#waiting.get(data.id)?.(data)
      this.#waiting.delete(data.id)
    } else if ('heard' in data) {
      this.#sources.get(data.heard)?.tell(data.event, data.data, data.lastEventId)
    } else if ('beat' in data) {
      for (const one of this.#sources.values()) one.tell('beat', data.beat)
    }
  }
}

/** Starts the bench. Rejects with an Error that says in words what happened and what to do. */
export async function startBench(): Promise<Link> {
  if (location.protocol === 'file:' || !isSecureContext) throw new Error(t('pocket.no_address'))
  if (!('locks' in navigator)) throw new Error(t('pocket.no_files'))
  const worker = new Worker(new URL('bench-worker.js', document.baseURI))
  const thread = new Thread(worker)
  return new Promise((resolve, reject) => {
    worker.onerror = (event) => reject(new Error(t('pocket.broken', { why: event.message })))
    worker.onmessage = ({ data }: MessageEvent<FromBench>) => {
      if ('ready' in data) {
        devices.begin(thread)
        resolve(thread.link)
      } else if ('failed' in data) reject(new Error({ open: t('pocket.open'), files: t('pocket.no_files'), absent: t('pocket.no_answer'), broken: t('pocket.broken', { why: data.why }) }[data.failed]))
      else thread.hear(data)
    }
    const texts = otherTexts()
    worker.postMessage({ language: language(), texts: texts ? JSON.stringify(texts) : '' } satisfies ToBench)
  })
}
