import { lay } from '../lay'

/** What the thread tells that makes the bench ready to run. */
export type FromCode = { module: WebAssembly.Module; data: Uint8Array<ArrayBuffer> } | NotReady

/** absent: the host did not answer, or has no such file. */
interface NotReady {
  failed: 'absent' | 'broken'
  why: string
}

/**
 * The bench, ready to run. It is compiled in a thread of its own: until a thread collects its garbage, which the bench's
 * may not do all game long, it holds a second copy of what it compiled and all that unpacked it; a thread that ends
 * lets go of it.
 */
export async function ready(imports: WebAssembly.Imports): Promise<WebAssembly.Instance | NotReady> {
  const thread = new Worker('bench-code.js')
  const code = await new Promise<FromCode>((resolve) => {
    thread.onmessage = ({ data }: MessageEvent<FromCode>) => resolve(data)
    thread.onerror = ({ message }) => resolve({ failed: 'broken', why: message })
  })
  if ('failed' in code) return code
  const instance = await WebAssembly.instantiate(code.module, imports)
  lay(code.data, instance)
  thread.postMessage(null, [code.data.buffer]) // it has ended, so they are gone with it at once
  return instance
}
