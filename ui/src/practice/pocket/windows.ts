import type { Link, Source } from '../../base/transport/link'

// Other windows of the same browser look on at a game. The window that has the games answers them: it
// hands on what anybody may see and takes nothing.

type FromWindow = { from: string } & ({ id: number; path: string } | { listen: number; path: string } | { deaf: number })
type ToWindow =
  | { to: string; id: number; status: number; media: string; body: ArrayBuffer }
  | { to: string; heard: number; event: string; data: string; lastEventId: string }
  | { began: true } // the games are in another window from now on

const channelName = 'whistlestop.windows'
const told = ['state', 'change', 'beat', 'error']
const patience = 4000 // milliseconds for the window that has the games

/** What other windows may ask for: the time, and a game as anybody may see it. */
const allowed = /^\/(time|games\/\w{26})$/

/** Answers other windows over the link of this one, until it is closed. */
export function answerWindows(link: Link, channel = new BroadcastChannel(channelName)): () => void {
  const sources = new Map<string, Source>()
  const send = (message: ToWindow) => channel.postMessage(message)
  channel.onmessage = ({ data }: MessageEvent<FromWindow | ToWindow>) => {
    if (!('from' in data)) return
    const { from } = data
    if ('deaf' in data) {
      sources.get(`${from} ${data.deaf}`)?.close()
      sources.delete(`${from} ${data.deaf}`)
    } else if ('listen' in data) {
      const { listen } = data
      const source = link.listen(shown(data.path))
      sources.set(`${from} ${listen}`, source)
      for (const event of told) {
        source.addEventListener(event, (said) => {
          const { data = '', lastEventId = '' } = said instanceof MessageEvent ? (said as MessageEvent<string>) : {}
          send({ to: from, heard: listen, event, data, lastEventId })
        })
      }
    } else void answer(link, data.path).then(({ status, media, body }) => send({ to: from, id: data.id, status, media, body }))
  }
  send({ began: true })
  return () => {
    for (const source of sources.values()) source.close()
    channel.close()
  }
}

/** The path with the view that anybody may have. */
function shown(path: string): string {
  return `${path.split('?')[0]}?view=public`
}

async function answer(link: Link, path: string): Promise<{ status: number; media: string; body: ArrayBuffer }> {
  if (!allowed.test(path.split('?')[0] ?? '')) return { status: 404, media: 'application/problem+json', body: new TextEncoder().encode('{"title":"","status":404}').buffer }
  const response = await link.fetch(path.startsWith('/games/') ? shown(path) : path, {})
  return { status: response.status, media: response.headers.get('content-type') ?? '', body: await response.arrayBuffer() }
}

/** Stands for the stream of the window that has the games. */
class WindowSource extends EventTarget implements Source {
  readyState = 1
  constructor(private readonly end: () => void) {
    super()
  }
  tell(name: string, data: string, lastEventId: string): void {
    if (this.readyState === 1) this.dispatchEvent(name === 'error' ? new Event('error') : new MessageEvent(name, { data, lastEventId }))
  }
  /** Nothing more comes: whoever hears has to ask anew. */
  lose(): void {
    this.readyState = 2
    this.dispatchEvent(new Event('error'))
  }
  close(): void {
    this.readyState = 2
    this.end()
  }
}

/** The link of a window that looks on. Questions that nobody answers fail as across a network. */
export function linkToWindow(channel = new BroadcastChannel(channelName)): Link {
  const me = crypto.randomUUID()
  const waiting = new Map<number, (answer: Extract<ToWindow, { status: number }>) => void>()
  const sources = new Map<number, WindowSource>()
  let newest = 0
  const send = (message: FromWindow) => channel.postMessage(message)
  channel.onmessage = ({ data }: MessageEvent<FromWindow | ToWindow>) => {
    if ('began' in data) {
      for (const source of sources.values()) source.lose()
      sources.clear()
    } else if (!('to' in data) || data.to !== me) return
    else if ('status' in data) waiting.get(data.id)?.(data)
    else sources.get(data.heard)?.tell(data.event, data.data, data.lastEventId)
  }
  return {
    can: { seats: false, copies: false, pages: false, keeps: false, shares: false },
    async fetch(path, { signal }) {
      const id = ++newest
      const { status, media, body } = await new Promise<Extract<ToWindow, { status: number }>>((resolve, reject) => {
        waiting.set(id, resolve)
        setTimeout(() => reject(new TypeError('the window with the games does not answer')), patience)
        send({ from: me, id, path })
      }).finally(() => waiting.delete(id))
      signal?.throwIfAborted()
      return new Response(body, { status, headers: { 'content-type': media } })
    },
    listen(path) {
      const listen = ++newest
      const source = new WindowSource(() => {
        sources.delete(listen)
        send({ from: me, deaf: listen })
      })
      sources.set(listen, source)
      queueMicrotask(() => {
        source.dispatchEvent(new Event('open'))
        send({ from: me, listen, path })
      })
      return source
    },
  }
}
