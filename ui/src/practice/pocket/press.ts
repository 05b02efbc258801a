/** What is to be printed, with what it is printed by. */
export interface Order {
  order: Uint8Array<ArrayBuffer>
  language: string
  texts: string // of the language, in JSON; empty: English
  faces: Map<string, Blob> // the files with letters that are at hand
}

/** What the thread tells that prints. */
export type FromPress = { pdf: Uint8Array<ArrayBuffer> } | { failed: string }

const within = 120_000 // milliseconds; a slow phone takes ten seconds

let before: Promise<unknown> = Promise.resolve() // what is printed already

/**
 * Has something printed, one after the other, in a thread of its own, which ends then: what it took of the memory
 * comes back, where the bench's own thread would keep it as long as the bench runs. Rejects with an Error that has the
 * sentence why not.
 */
export function print(order: Order): Promise<Uint8Array<ArrayBuffer>> {
  const printed = before.then(() => printAlone(order))
  before = printed.catch(() => undefined)
  return printed
}

async function printAlone(order: Order): Promise<Uint8Array<ArrayBuffer>> {
  const thread = new Worker('press-worker.js')
  let late: ReturnType<typeof setTimeout> | undefined
  try {
    const told = await new Promise<FromPress>((resolve) => {
      thread.onmessage = ({ data }: MessageEvent<FromPress>) => resolve(data)
      thread.onerror = ({ message }) => resolve({ failed: message || 'press-worker.js' })
      late = setTimeout(() => resolve({ failed: 'it does not answer' }), within)
      thread.postMessage(order, [order.order.buffer])
    })
    if ('failed' in told) throw new Error(told.failed)
    return told.pdf
  } finally {
    clearTimeout(late)
    thread.terminate()
  }
}
