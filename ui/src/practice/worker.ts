// The engine's own thread. The build puts Go's wasm_exec.js before it, and neither
// is part of the page's script.
import type { FromEngine, Reply, ToEngine } from './engine'

/** What wasm_exec.js brings along. */
declare class Go {
  importObject: WebAssembly.Imports
  run(instance: WebAssembly.Instance): Promise<void>
}

/** What the engine leaves behind when it runs (cmd/engine). */
interface Inside {
  call(method: string, path: string, body: string, now: number): Reply | undefined
}

declare global {
  var whistlestopEngine: Inside | undefined
}

const page = self as unknown as {
  onmessage: ((event: MessageEvent<ToEngine>) => void) | null
  postMessage(message: FromEngine): void
}

page.onmessage = ({ data }) => {
  if ('engine' in data) {
    void start(data.engine).catch((reason: unknown) => page.postMessage({ damaged: String(reason) }))
    return
  }
  const reply = globalThis.whistlestopEngine?.call(data.method, data.path, data.body, data.now)
  // Without an answer the engine ended in this call, which is told by itself.
  if (reply) page.postMessage({ id: data.id, reply: { status: reply.status, body: reply.body } })
}

async function start(bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  const go = new Go()
  const { instance } = await WebAssembly.instantiateStreaming(unpacked(bytes), go.importObject)
  const end = go.run(instance)
  let ended = false
  void end.then(() => 'it ended', String).then((why) => {
    ended = true
    page.postMessage({ stopped: why })
  })
  // Go leaves its call behind before it first waits for anything, but nothing promises that.
  while (!globalThis.whistlestopEngine && !ended) await new Promise((resolve) => setTimeout(resolve, 5))
  if (!ended) page.postMessage({ ready: true })
}

/** The engine as an answer that WebAssembly takes. Some hosts unpack what ends in .gz on the way. */
function unpacked(bytes: Uint8Array<ArrayBuffer>): Response {
  const packed = bytes[0] === 0x1f && bytes[1] === 0x8b
  const stream = new Blob([bytes]).stream()
  return new Response(packed ? stream.pipeThrough(new DecompressionStream('gzip')) : stream, {
    headers: { 'Content-Type': 'application/wasm' },
  })
}
