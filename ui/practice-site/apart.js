const dataSection = 11

/**
 * Takes an engine of Go's WebAssembly apart: `data`, with which its memory begins, and `code`, the module
 * without them. A browser keeps a module as long as it runs, with a table of its pieces of data, of which Go makes
 * 100,000; and data and code pack better each by itself. Whoever runs the code lays the data into its memory
 * first (src/practice/lay.ts).
 */
export function apart(wasm) {
  const view = new DataView(wasm.buffer, wasm.byteOffset, wasm.length)
  let at = 8 // behind the mark and the version
  const number = () => { // LEB128; of a whole number with a sign, the lowest 32 bits
    let value = 0
    for (let shift = 0; ; shift += 7) {
      const byte = view.getUint8(at++)
      value |= (byte & 0x7f) << shift
      if (byte < 0x80) return value >>> 0
    }
  }
  const wanted = (byte) => {
    if (view.getUint8(at++) !== byte) throw new Error(`byte ${at - 1} of the engine is not what Go wrote so far`)
  }
  while (view.getUint8(at) !== dataSection) {
    at++
    const length = number()
    at += length
  }
  const before = at++
  const end = number() + at
  const pieces = []
  for (let count = number(); count > 0; count--) {
    wanted(0x00) // at a place in the only memory,
    wanted(0x41) // which is a constant:
    const place = number()
    wanted(0x0b)
    const length = number()
    pieces.push({ place, bytes: wasm.subarray(at, at + length) })
    at += length
  }
  const last = pieces.at(-1)
  const data = new Uint8Array(last.place + last.bytes.length)
  for (const { place, bytes } of pieces) data.set(bytes, place)
  const code = new Uint8Array(wasm.length - (end - before))
  code.set(wasm.subarray(0, before))
  code.set(wasm.subarray(end), before)
  return { data, code }
}
