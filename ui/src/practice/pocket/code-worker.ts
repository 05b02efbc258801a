// The thread that makes the bench ready to run, and then ends.
import { unpacked } from '../unpack'
import type { FromCode } from './code'

// Put here by the build: the bytes of the engine of practice and of the bench behind it, unpacked, and what
// tells this bench from one of another version.
declare const engineLength: number
declare const benchLength: number
declare const benchSum: string

const bench = self as unknown as { postMessage(message: FromCode): void; close(): void }

/** The host did not answer, or has no such file. */
class Absent extends Error {}

void start()

async function start(): Promise<void> {
  try {
    const { module, kept } = await compiled()
    bench.postMessage({ module })
    await kept
  } catch (reason) {
    bench.postMessage({ failed: reason instanceof Absent ? 'absent' : 'broken', why: String(reason) })
  }
  bench.close()
}

/** To unpack the bench takes longer than the rest of a start, so the browser keeps it unpacked. */
async function compiled(): Promise<{ module: WebAssembly.Module; kept?: Promise<void> | undefined }> {
  const shelf = await caches.open(`whistlestop-unpacked ${new URL('.', location.href).href}`).catch(() => undefined)
  const name = new URL(`bench-${benchSum}.wasm`, location.href).href
  const found = await shelf?.match(name).catch(() => undefined)
  if (found) {
    const module = await WebAssembly.compileStreaming(found).catch(() => undefined)
    if (module) return { module }
  }
  const code = await packedCode()
  const kept = shelf && keep(shelf, name, code.clone()).catch(() => undefined) // no room, perhaps: it is unpacked again
  return { module: await WebAssembly.compileStreaming(code), kept }
}

/** Keeps the code in place of that of another version. */
async function keep(shelf: Cache, name: string, code: Response): Promise<void> {
  for (const old of await shelf.keys()) await shelf.delete(old)
  await shelf.put(name, code)
}

/** The bench is packed as what follows on the engine of practice, with which it shares most of its code. */
async function packedCode(): Promise<Response> {
  const parts = await Promise.all(['engine.wasm.xz', 'bench.rest'].map(async (name) => {
    const answer = await fetch(name).catch(() => undefined)
    if (!answer?.ok) throw new Absent(name)
    return answer.blob()
  }))
  return unpacked(new Blob(parts), engineLength, benchLength)
}
