import { XzReadableStream } from 'xz-decompress'

/**
 * A part of what was packed, as an answer that WebAssembly takes: `length` bytes from `from` on, both
 * counted unpacked. What is packed may go on behind the part, and may be cut off there.
 */
export function unpacked(packed: Blob, from: number, length: number): Response {
  const reader = new XzReadableStream(packed.stream()).getReader()
  let before = from
  let left = length
  const part = new ReadableStream<Uint8Array>({
    async pull(to) {
      for (;;) {
        const { done, value } = await reader.read()
        if (done) throw new Error('what is packed ends too early')
        const mine = value.slice(before, before + left)
        before = Math.max(0, before - value.length)
        left -= mine.length
        if (mine.length > 0) to.enqueue(mine)
        if (left === 0) {
          to.close()
          void reader.cancel().catch(() => undefined) // its end, or its next piece, may be broken: nobody needs it
        }
        if (mine.length > 0) return
      }
    },
  })
  return new Response(part, { headers: { 'Content-Type': 'application/wasm' } })
}
