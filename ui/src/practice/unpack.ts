import { XzReadableStream } from 'xz-decompress'

/** The bytes of an engine, unpacked: of what its memory begins with, and of its code, which stands behind that. */
export interface Sizes {
  data: number
  code: number
}

/**
 * An engine of those that were packed behind one another, from the byte `from` on, counted unpacked; its code as an
 * answer that WebAssembly takes. What is packed may go on behind it, and may be cut off there.
 */
export async function unpacked(packed: Blob, from: number, sizes: Sizes): Promise<{ data: Uint8Array<ArrayBuffer>; code: Response }> {
  const bytes = new Bytes(packed, from)
  const data = new Uint8Array(sizes.data)
  for (let at = 0; at < data.length; ) {
    const part = await bytes.next(data.length - at)
    data.set(part, at)
    at += part.length
  }
  let left = sizes.code
  const code = new ReadableStream<Uint8Array>({
    async pull(to) {
      const part = await bytes.next(left)
      to.enqueue(part)
      left -= part.length
      if (left > 0) return
      to.close()
      bytes.end()
    },
  })
  return { data, code: new Response(code, { headers: { 'Content-Type': 'application/wasm' } }) }
}

/** What is unpacked, one piece after the other. */
class Bytes {
  private readonly reader: ReadableStreamDefaultReader<Uint8Array>
  private come = new Uint8Array()

  constructor(packed: Blob, private skipped: number) {
    this.reader = new XzReadableStream(packed.stream()).getReader()
  }

  /** The next bytes: `most` at most, and at least one. */
  async next(most: number): Promise<Uint8Array> {
    while (this.come.length === 0) {
      const { done, value } = await this.reader.read()
      if (done) throw new Error('what is packed ends too early')
      this.come = value.slice(this.skipped)
      this.skipped = Math.max(0, this.skipped - value.length)
    }
    const part = this.come.subarray(0, most)
    this.come = this.come.subarray(most)
    return part
  }

  end(): void {
    void this.reader.cancel().catch(() => undefined) // its end, or its next piece, may be broken: nobody needs it
  }
}
