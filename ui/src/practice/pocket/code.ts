import { unpacked } from '../unpack'

// Put here by the build: the bytes of the engine of practice and of the bench behind it, unpacked, and what
// tells this bench from one of another version.
declare const engineLength: number
declare const benchLength: number
declare const benchSum: string

/** The host did not answer, or has no such file. */
export class Absent extends Error {}

/**
 * Makes the bench ready to run. To unpack it takes longer than the rest of a start, so the browser keeps it
 * unpacked; there it also finds the machine's code again that it made of it.
 */
export async function instantiated(imports: WebAssembly.Imports): Promise<WebAssembly.Instance> {
  const shelf = await caches.open(`whistlestop-unpacked ${new URL('.', location.href).href}`).catch(() => undefined)
  const name = new URL(`bench-${benchSum}.wasm`, location.href).href
  const kept = await shelf?.match(name).catch(() => undefined)
  if (kept) {
    const { instance } = await WebAssembly.instantiateStreaming(kept, imports).catch(() => ({ instance: undefined }))
    if (instance) return instance
  }
  const code = await packedCode()
  if (shelf) void keep(shelf, name, code.clone()).catch(() => undefined) // no room, perhaps: it is unpacked again
  return (await WebAssembly.instantiateStreaming(code, imports)).instance
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
