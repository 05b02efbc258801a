const most = 5 // streams of one browser: it has six connections to a bench, and one must stay free to post
const answersWithin = 200 // milliseconds

/** The part of a BroadcastChannel that is used here. */
interface Channel {
  onmessage: ((event: MessageEvent<Message>) => void) | null
  postMessage: (message: Message) => void
  close: () => void
}
type Message = { ask: string } | { here: string }

/**
 * Counts the pages of this browser that listen to the bench. Browsers open six
 * connections to one host, all pages together, and every page keeps one: with
 * six pages open nobody could post any more, and a seventh would not even load.
 * Where a connection carries many streams (HTTP/2) there is no such limit.
 */
export class Tabs {
  readonly #channel: Channel | undefined
  #listening = false

  constructor(channel: Channel | undefined) {
    this.#channel = channel
  }

  /** Whether there is room for one more page. */
  async room(): Promise<boolean> {
    const channel = this.#channel
    if (!channel) return true
    const id = Math.random().toString(36).slice(2)
    let others = 0
    channel.onmessage = ({ data }) => {
      if ('ask' in data && this.#listening) channel.postMessage({ here: data.ask })
      if ('here' in data && data.here === id) others++
    }
    channel.postMessage({ ask: id })
    await new Promise((resolve) => setTimeout(resolve, answersWithin))
    return others < most
  }

  /** From now on this page counts. The result ends it. */
  count(): () => void {
    this.#listening = true
    return () => {
      this.#listening = false
      this.#channel?.close()
    }
  }
}

/** The channel on which pages of this browser count each other; none where many streams fit one connection. */
export function pagesChannel(): Channel | undefined {
  const [page] = performance.getEntriesByType('navigation') as PerformanceNavigationTiming[]
  const shared = page?.nextHopProtocol === 'h2' || page?.nextHopProtocol === 'h3'
  return shared || typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('whistlestop.pages')
}
