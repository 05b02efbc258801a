import { type Sizes, unpacked } from '../unpack'

/** The host did not answer, or has no such file. */
export class Absent extends Error {}

/** A program of the site that is packed behind others. */
export interface Program {
  name: string
  files: string[] // those that it is packed in, in their order
  from: number // how many bytes stand before it, unpacked
  sizes: Sizes
  sum: string // tells it from that of another version
}

interface Compiled {
  module: WebAssembly.Module
  data: Uint8Array<ArrayBuffer>
  kept?: Promise<void> | undefined
}

/** To unpack a program takes longer than the rest of its start, so the browser keeps it unpacked. */
export async function compiled(program: Program): Promise<Compiled> {
  const shelf = await caches.open(`whistlestop-unpacked ${new URL('.', location.href).href}`).catch(() => undefined)
  const [codeName, dataName] = ['wasm', 'data'].map((kind) => new URL(`${program.name}-${program.sum}.${kind}`, location.href).href) as [string, string]
  const found = shelf && (await fromShelf(shelf, codeName, dataName).catch(() => undefined))
  if (found) return found
  const { data, code } = await fromHost(program)
  const kept = shelf && keep(shelf, program.name, { [codeName]: code.clone(), [dataName]: new Response(data) }).catch(() => undefined) // no room, perhaps: it is unpacked again
  return { module: await WebAssembly.compileStreaming(code), data, kept }
}

async function fromShelf(shelf: Cache, codeName: string, dataName: string): Promise<Compiled | undefined> {
  const [code, data] = await Promise.all([shelf.match(codeName), shelf.match(dataName)])
  return code && data && { module: await WebAssembly.compileStreaming(code), data: new Uint8Array(await data.arrayBuffer()) }
}

/** Keeps a program in place of that of another version. */
async function keep(shelf: Cache, name: string, parts: Record<string, Response>): Promise<void> {
  for (const old of await shelf.keys()) if (old.url.includes(`/${name}-`)) await shelf.delete(old)
  for (const [address, part] of Object.entries(parts)) await shelf.put(address, part)
}

async function fromHost({ files, from, sizes }: Program): Promise<{ data: Uint8Array<ArrayBuffer>; code: Response }> {
  const parts = await Promise.all(files.map(async (name) => {
    const answer = await fetch(name).catch(() => undefined)
    if (!answer?.ok) throw new Absent(name)
    return answer.blob()
  }))
  return unpacked(new Blob(parts), from, sizes)
}
