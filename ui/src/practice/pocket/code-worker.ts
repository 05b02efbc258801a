// The thread that makes the bench ready to run, and then ends.
import { type Sizes, unpacked } from '../unpack'
import type { FromCode } from './code'

// Put here by the build: the engine of practice and the bench behind it, and what tells this bench from one of
// another version.
declare const engineSizes: Sizes
declare const benchSizes: Sizes
declare const benchSum: string

const bench = self as unknown as { postMessage(message: FromCode, handed?: Transferable[]): void; close(): void }

/** The host did not answer, or has no such file. */
class Absent extends Error {}

void start()

async function start(): Promise<void> {
  try {
    const { module, data, kept } = await compiled()
    bench.postMessage({ module, data }, [data.buffer])
    await kept
  } catch (reason) {
    bench.postMessage({ failed: reason instanceof Absent ? 'absent' : 'broken', why: String(reason) })
  }
  bench.close()
}

interface Compiled {
  module: WebAssembly.Module
  data: Uint8Array<ArrayBuffer>
  kept?: Promise<void> | undefined
}

/** To unpack the bench takes longer than the rest of a start, so the browser keeps it unpacked. */
async function compiled(): Promise<Compiled> {
  const shelf = await caches.open(`whistlestop-unpacked ${new URL('.', location.href).href}`).catch(() => undefined)
  const [codeName, dataName] = ['wasm', 'data'].map((kind) => new URL(`bench-${benchSum}.${kind}`, location.href).href) as [string, string]
  const found = shelf && (await fromShelf(shelf, codeName, dataName).catch(() => undefined))
  if (found) return found
  const { data, code } = await fromHost()
  const kept = shelf && keep(shelf, { [codeName]: code.clone(), [dataName]: new Response(data) }).catch(() => undefined) // no room, perhaps: it is unpacked again
  return { module: await WebAssembly.compileStreaming(code), data, kept }
}

async function fromShelf(shelf: Cache, codeName: string, dataName: string): Promise<Compiled | undefined> {
  const [code, data] = await Promise.all([shelf.match(codeName), shelf.match(dataName)])
  return code && data && { module: await WebAssembly.compileStreaming(code), data: new Uint8Array(await data.arrayBuffer()) }
}

/** Keeps the bench in place of that of another version. */
async function keep(shelf: Cache, parts: Record<string, Response>): Promise<void> {
  for (const old of await shelf.keys()) await shelf.delete(old)
  for (const [name, part] of Object.entries(parts)) await shelf.put(name, part)
}

/** The bench is packed as what follows on the engine of practice, with which it shares most of its code. */
async function fromHost(): Promise<{ data: Uint8Array<ArrayBuffer>; code: Response }> {
  const parts = await Promise.all(['engine.wasm.xz', 'bench.rest'].map(async (name) => {
    const answer = await fetch(name).catch(() => undefined)
    if (!answer?.ok) throw new Absent(name)
    return answer.blob()
  }))
  return unpacked(new Blob(parts), engineSizes.data + engineSizes.code, benchSizes)
}
