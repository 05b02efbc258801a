import '../../base/words/pocket'
import type { Link, Source } from '../../base/transport/link'
import { language, otherTexts, t } from '../../base/words/words'
import Copies from './Copies.svelte'
import type { FromBench, ToBench } from './talk'

type Answer = Extract<FromBench, { status: number }>

/** Stands for the stream of a bench across the network. */
class BenchSource extends EventTarget implements Source {
  readyState = 1
  constructor(private readonly end: () => void) {
    super()
  }
  tell(name: string, data: string, lastEventId = ''): void {
    if (this.readyState === 1) this.dispatchEvent(name === 'error' ? new Event('error') : new MessageEvent(name, { data, lastEventId }))
  }
  close(): void {
    this.readyState = 2
    this.end()
  }
}

/** The link of the screens to a bench for real games that runs in a thread of this page. */
function linkTo(worker: Worker): { link: Link; hear: (data: FromBench) => void } {
  const waiting = new Map<number, (answer: Answer) => void>()
  const sources = new Map<number, BenchSource>()
  let newest = 0
  const send = (message: ToBench) => worker.postMessage(message)
  const link: Link = {
    near: true,
    // One device, which has the games itself: no other one is a seat, and what is copied is saved or shared by hand.
    can: { seats: false, copies: false, pages: true, keeps: true, shares: false },
    breaks: Copies,
    async fetch(path, { method = 'GET', body, signal }) {
      const bytes = new Uint8Array(await new Response(body ?? '').arrayBuffer())
      const id = ++newest
      const answer = await new Promise<Answer>((resolve) => {
        waiting.set(id, resolve)
        send({ id, method, path, body: bytes })
      })
      signal?.throwIfAborted()
      return new Response(answer.body, { status: answer.status, headers: { 'content-type': answer.media, 'x-name': answer.name } })
    },
    listen(path) {
      const listen = ++newest
      const [, , game = ''] = path.split(/[/?]/)
      const source = new BenchSource(() => {
        sources.delete(listen)
        send({ deaf: listen })
      })
      sources.set(listen, source)
      queueMicrotask(() => {
        source.dispatchEvent(new Event('open'))
        send({ listen, game, view: path.includes('view=public') ? 'public' : '' })
      })
      return source
    },
  }
  const hear = (data: FromBench) => {
    if ('status' in data) {
      waiting.get(data.id)?.(data)
      waiting.delete(data.id)
    } else if ('heard' in data) {
      sources.get(data.heard)?.tell(data.event, data.data, data.lastEventId)
    } else if ('beat' in data) {
      for (const one of sources.values()) one.tell('beat', data.beat)
    }
  }
  return { link, hear }
}

/** Starts the bench. Rejects with an Error that says in words what happened and what to do. */
export async function startBench(): Promise<Link> {
  if (location.protocol === 'file:' || !isSecureContext) throw new Error(t('pocket.no_address'))
  if (!('locks' in navigator) || !('storage' in navigator)) throw new Error(t('pocket.no_files'))
  const worker = new Worker(new URL('bench-worker.js', document.baseURI))
  const { link, hear } = linkTo(worker)
  return new Promise((resolve, reject) => {
    worker.onerror = (event) => reject(new Error(t('pocket.broken', { why: event.message })))
    worker.onmessage = ({ data }: MessageEvent<FromBench>) => {
      if ('ready' in data) resolve(link)
      else if ('failed' in data) reject(new Error({ open: t('pocket.open'), files: t('pocket.no_files'), absent: t('pocket.no_answer'), broken: t('pocket.broken', { why: data.why }) }[data.failed]))
      else hear(data)
    }
    const texts = otherTexts()
    worker.postMessage({ language: language(), texts: texts ? JSON.stringify(texts) : '' } satisfies ToBench)
  })
}
