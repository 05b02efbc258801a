// Packs programs into one xz stream and cuts it in as many files: each program needs its own file and
// those before it. They have most of their code in common, so each further one is packed to well below half
// of what it takes by itself. The data of each stand before its code.
//
//   node pack.js FIRST SECOND ... FIRST.xz SECOND.rest ...
import { Buffer } from 'node:buffer'
import { execFileSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import process from 'node:process'
import { apart } from './apart.js'

// What stands in WebAssembly is not aligned (pb). 16 MiB of what came before are remembered,
// because that is how far back the same code lies in the first engine.
const packing = ['--format=xz', '--check=crc32', '--threads=1', '--lzma2=preset=9e,dict=16MiB,lc=4,pb=0', '-c']

const names = process.argv.slice(2)
const programs = names.slice(0, names.length / 2).map((name) => {
  const { data, code } = apart(readFileSync(name))
  return Buffer.concat([data, code])
})
const packed = execFileSync('xz', packing, { input: Buffer.concat(programs), maxBuffer: 1 << 28 })
let [unpacked, from] = [0, 0]
for (const [i, program] of programs.entries()) {
  unpacked += program.length
  const to = i === programs.length - 1 ? packed.length : cut(packed, unpacked)
  writeFileSync(names[programs.length + i], packed.subarray(from, to))
  from = to
}

/**
 * Where a stream of one block can be cut so that what stands before unpacks to at least `wanted`
 * bytes: at the end of a chunk (The .xz File Format 1.2.1, sections 2.1 and 3; the chunks of LZMA2
 * as described in XZ Embedded's xz_dec_lzma2.c).
 */
function cut(stream, wanted) {
  const streamHeader = 12
  let at = streamHeader + (stream[streamHeader] + 1) * 4 // the block's header says its own length
  for (let unpacked = 0; unpacked < wanted; ) {
    const control = stream[at]
    if (control === 0) throw new Error('the packed engines end before the first one does')
    if (control >= 0x80) {
      unpacked += ((control & 0x1f) << 16) + stream.readUInt16BE(at + 1) + 1
      at += (control >= 0xc0 ? 6 : 5) + stream.readUInt16BE(at + 3) + 1
    } else {
      const size = stream.readUInt16BE(at + 1) + 1
      unpacked += size
      at += 3 + size
    }
  }
  return at
}
