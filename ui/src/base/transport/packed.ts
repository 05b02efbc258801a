// A text in the address behind the #, where no server sees it: packed, in letters that an address takes.

/** A text, packed in letters that an address takes. */
export async function packed(text: string): Promise<string> {
  const stream = new Blob([text]).stream().pipeThrough(new CompressionStream('deflate-raw'))
  const bytes = new Uint8Array(await new Response(stream).arrayBuffer())
  return letters(bytes)
}

/** The text that was packed, of so many bytes at most; rejects where it is none. */
export async function unpacked(data: string, most: number): Promise<string> {
  const reader = new Blob([bytesOf(data)]).stream().pipeThrough(new DecompressionStream('deflate-raw')).getReader()
  const parts: BlobPart[] = []
  let length = 0
  for (;;) {
    const { done, value } = await reader.read()
    if (done) break
    parts.push(value)
    length += value.length
    if (length > most) {
      await reader.cancel()
      throw new Error('too long')
    }
  }
  return new Blob(parts).text()
}

function letters(bytes: Uint8Array): string {
  return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join('')).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '')
}

function bytesOf(data: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(data.replaceAll('-', '+').replaceAll('_', '/')), (letter) => letter.charCodeAt(0))
}
