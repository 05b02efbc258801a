// The engine's own thread. The build puts Go's wasm_exec.js before it, and neither
// is part of the page's script.
import type { FromEngine, Reply, ToEngine } from './engine'
import { lay } from './lay'
import { type Sizes, unpacked } from './unpack'

/** What wasm_exec.js brings along. */
declare class Go {
  importObject: WebAssembly.Imports
  run(instance: WebAssembly.Instance): Promise<void>
}

/** What the engine leaves behind when it runs, before it says that it is ready (cmd/engine). */
interface Inside {
  call(method: string, path: string, body: string, now: number): Reply | undefined
  /** Takes the words of a language, in JSON; '' or why not. */
  speak(tag: string, texts: string): string
}

/** Put here by the build. */
declare const engineSizes: Sizes

declare global {
  var whistlestopEngine: Inside | undefined
  var whistlestopReady: (() => void) | undefined
}

const page = self as unknown as {
  onmessage: ((event: MessageEvent<ToEngine>) => void) | null
  postMessage(message: FromEngine): void
}

page.onmessage = ({ data }) => {
  if ('engine' in data) {
    const { engine, speaks } = data
    void start(engine, () => (speaks ? globalThis.whistlestopEngine?.speak(speaks.tag, speaks.texts) : '')).catch((reason: unknown) => page.postMessage({ damaged: String(reason) }))
    return
  }
  const reply = globalThis.whistlestopEngine?.call(data.method, data.path, data.body, data.now)
  // Without an answer the engine ended in this call, which is told by itself.
  if (reply) page.postMessage({ id: data.id, reply: { status: reply.status, body: reply.body } })
}

/** Runs the engine until it ends by itself, which it does only by a mistake of the program. */
async function start(bytes: Uint8Array<ArrayBuffer>, speak: () => unknown): Promise<void> {
  const go = new Go()
  const { data, code } = await unpacked(new Blob([bytes]), 0, engineSizes)
  const { instance } = await WebAssembly.instantiateStreaming(code, go.importObject)
  lay(data, instance)
  globalThis.whistlestopReady = () => {
    speak()
    page.postMessage({ ready: true })
  }
  await go.run(instance)
  page.postMessage({ stopped: 'it ended' })
}
