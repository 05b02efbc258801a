import '../base/words/site'
import { language, otherTexts, t } from '../base/words/words'

/** The engine of practice: the program's own Go code, in a thread of its own. */
export interface Engine {
  /**
   * Asks as the screens ask a bench: a method, a path without "/api", a body ("" for none) and the
   * practice's time in milliseconds of Unix time. Calls are answered in their order.
   */
  call(method: string, path: string, body: string, now: number): Promise<Reply>
}

/** A language for the engine, which has English only. */
interface Spoken {
  tag: string
  texts: string // in JSON, by their keys
}

/** An answer, with a status as HTTP has them. */
export interface Reply {
  status: number
  body: string
}

/** What the page tells the engine's thread: first the engine itself, then calls. */
export type ToEngine =
  | { engine: Uint8Array<ArrayBuffer>; speaks?: Spoken }
  | { id: number; method: string; path: string; body: string; now: number }

/** What the engine's thread tells the page. */
export type FromEngine =
  | { ready: true }
  | { damaged: string } // it could not be started
  | { stopped: string } // it ran, and ended by itself
  | { id: number; reply: Reply }

/** What engine.js leaves behind. Pages that were opened from a folder may not read other files. */
interface Stick {
  worker: string // source text
  engine: string // the packed engine as base64
}

declare global {
  var whistlestopStick: Stick | undefined
}

/**
 * Loads and starts the engine. Tells `progress` how many bytes have come, of how many; 0 where the
 * host does not say. Rejects with an Error that says in words what happened and what to do.
 */
export async function startEngine(progress?: (loaded: number, of: number) => void): Promise<Engine> {
  const lacks = lacking(globalThis)
  if (lacks !== '') throw new Error(t('site.old_browser', { lacks }))
  const { engine, worker } = location.protocol === 'file:' ? await fromFolder() : await fromHost(progress)
  return open(worker, engine)
}

/** What a browser needs, the first thing that it lacks; empty when it has all. */
export function lacking(browser: object): string {
  return ['WebAssembly', 'Worker'].find((name) => !(name in browser)) ?? ''
}

async function fromHost(progress?: (loaded: number, of: number) => void) {
  const engine = await fetchBytes('engine.wasm.xz', progress)
  return { engine, worker: () => new Worker(new URL('engine-worker.js', document.baseURI)) }
}

async function fetchBytes(file: string, progress: (loaded: number, of: number) => void = () => {}): Promise<Uint8Array<ArrayBuffer>> {
  const answer = await fetch(new URL(file, document.baseURI)).catch(() => {
    throw new Error(t('site.no_answer'))
  })
  if (!answer.ok || !answer.body) throw new Error(t('site.missing', { file, why: answer.status }))
  const of = Number(answer.headers.get('Content-Length') ?? 0)
  const parts: Uint8Array<ArrayBuffer>[] = []
  let loaded = 0
  progress(0, of)
  const reader = answer.body.getReader()
  for (;;) {
    const part = await reader.read().catch(() => {
      throw new Error(t('site.no_answer'))
    })
    if (part.done) break
    parts.push(part.value)
    loaded += part.value.length
    // A host that unpacks on the way sends more than it announced.
    progress(loaded, of > 0 ? Math.max(loaded, of) : 0)
  }
  return joined(parts, loaded)
}

/** Puts parts behind one another. */
export function joined(parts: Uint8Array[], length: number): Uint8Array<ArrayBuffer> {
  const all = new Uint8Array(length)
  let at = 0
  for (const part of parts) {
    all.set(part, at)
    at += part.length
  }
  return all
}

/** From a folder, only scripts may be loaded: one brings the engine and its thread as text. */
async function fromFolder() {
  const stick = globalThis.whistlestopStick ?? (await readStick())
  globalThis.whistlestopStick = undefined // it is large, and needed once
  const source = URL.createObjectURL(new Blob([stick.worker], { type: 'text/javascript' }))
  return { engine: decoded(stick.engine), worker: () => new Worker(source) }
}

function readStick(): Promise<Stick> {
  return readScript('engine.js', () => globalThis.whistlestopStick)
}

/** What a file of the site leaves behind that is a script, as also a page from a folder may load it. */
export function readScript<T>(file: string, left: () => T | undefined): Promise<T> {
  return new Promise((resolve, reject) => {
    const script = document.createElement('script')
    script.src = file
    const missing = () => reject(new Error(t('site.missing', { file, why: location.protocol })))
    script.onload = () => {
      const found = left()
      if (found === undefined) missing()
      else resolve(found)
    }
    script.onerror = missing
    document.head.append(script)
  })
}

/** The bytes of a text in base64. */
export function decoded(base64: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))
}

/** Starts the thread, hands the engine over and waits until it runs. */
function open(start: () => Worker, engine: Uint8Array<ArrayBuffer>): Promise<Engine> {
  return new Promise((resolve, reject) => {
    let worker: Worker
    try {
      worker = start()
    } catch (reason) {
      reject(new Error(t('site.no_worker', { why: text(reason) })))
      return
    }
    const calls = new Calls((call) => worker.postMessage(call))
    let runs = false
    worker.onmessage = ({ data }: MessageEvent<FromEngine>) => {
      if ('ready' in data) {
        runs = true
        document.documentElement.dataset['engine'] = 'ready'
        resolve(calls)
      } else if ('damaged' in data) {
        reject(new Error(t('site.damaged', { why: data.damaged })))
      } else if ('stopped' in data) {
        calls.end(t('site.stopped', { why: data.stopped }))
      } else {
        calls.answered(data.id, data.reply)
      }
    }
    worker.onerror = (event) => {
      const why = event.message || 'engine-worker.js'
      if (runs) calls.end(t('site.stopped', { why }))
      else reject(new Error(t('site.no_worker', { why })))
    }
    const texts = otherTexts()
    const speaks = texts && { tag: language(), texts: JSON.stringify(texts) }
    worker.postMessage({ engine, ...(speaks && { speaks }) } satisfies ToEngine, [engine.buffer])
  })
}

interface Waiting {
  resolve: (reply: Reply) => void
  reject: (reason: Error) => void
}

/** Calls under way, by number. */
export class Calls implements Engine {
  private readonly waiting = new Map<number, Waiting>()
  private newest = 0
  private over = ''

  constructor(private readonly send: (call: ToEngine) => void) {}

  call(method: string, path: string, body: string, now: number): Promise<Reply> {
    if (this.over !== '') return Promise.reject(new Error(this.over))
    const id = ++this.newest
    return new Promise((resolve, reject) => {
      this.waiting.set(id, { resolve, reject })
      this.send({ id, method, path, body, now })
    })
  }

  answered(id: number, reply: Reply): void {
    this.waiting.get(id)?.resolve(reply)
    this.waiting.delete(id)
  }

  /** The engine is gone: whoever waits is told, and whoever asks later. */
  end(why: string): void {
    this.over = why
    for (const { reject } of this.waiting.values()) reject(new Error(why))
    this.waiting.clear()
  }
}

function text(reason: unknown): string {
  return reason instanceof Error ? reason.message : String(reason)
}
