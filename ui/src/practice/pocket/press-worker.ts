// The thread that prints for a bench, once. The build puts Go's wasm_exec.js before it.
import { lay } from '../lay'
import { compiled, type Program } from './compiled'
import type { FromPress, Order } from './press'

// Put here by the build.
declare const pressProgram: Program

declare class Go {
  importObject: WebAssembly.Imports
  run(instance: WebAssembly.Instance): Promise<void>
}

/** What the program leaves behind when it runs (cmd/press). */
interface Press {
  print(order: Uint8Array, language: string, texts: string, printed: (pdf: Uint8Array<ArrayBuffer>) => void, failed: (whyNot: string) => void): void
}

declare global {
  var whistlestopPress: Press | undefined
  var whistlestopAtHand: ((name: string, came: (content: Uint8Array) => void, failed: (why: string) => void) => void) | undefined
}

const bench = self as unknown as {
  onmessage: ((event: MessageEvent<Order>) => void) | null
  postMessage(message: FromPress, handed?: Transferable[]): void
}

bench.onmessage = ({ data }) => {
  void start(data).catch((reason: unknown) => bench.postMessage({ failed: String(reason) }))
}

async function start({ order, language, texts, faces }: Order): Promise<void> {
  globalThis.whistlestopAtHand = (name, came, failed) => {
    const read = async () => {
      const face = faces.get(name)
      if (!face) throw new Error(`${name} is not at hand`)
      return new Uint8Array(await face.arrayBuffer())
    }
    read().then(came, (reason: unknown) => failed(String(reason)))
  }
  const { module, data, kept } = await compiled(pressProgram)
  const go = new Go()
  const instance = await WebAssembly.instantiate(module, go.importObject)
  lay(data, instance)
  const printed = new Promise<Uint8Array<ArrayBuffer>>((resolve, reject) => {
    globalThis.whistlestopReady = () => {
      globalThis.whistlestopPress?.print(order, language, texts, resolve, (whyNot) => reject(new Error(whyNot)))
    }
  })
  void go.run(instance)
  const pdf = await printed.catch((reason: Error) => reason)
  await kept // this thread is ended as soon as it has answered
  bench.postMessage(pdf instanceof Error ? { failed: pdf.message } : { pdf })
}
