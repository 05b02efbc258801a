import { Buffer } from 'node:buffer'
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import process from 'node:process'
import { afterAll, expect, test } from 'vitest'
import { lay } from '../src/practice/lay'
import { unpacked } from '../src/practice/unpack'
import { apart } from './apart.js'

const folder = mkdtempSync(join(tmpdir(), 'whistlestop-pack-'))
afterAll(() => rmSync(folder, { recursive: true }))

/** Bytes that pack badly, the same at each run (the multiplier of Park and Miller, 1988). */
function noise(length, seed) {
  return Uint8Array.from({ length }, () => (seed = (seed * 48271) % 2147483647) & 0xff)
}

/** A whole number as a module has it (LEB128, with a sign). */
function leb(n) {
  const bytes = []
  for (; n > 0x3f; n >>= 7) bytes.push((n & 0x7f) | 0x80)
  return [...bytes, n]
}

/** The same without a sign. */
function length(n) {
  const bytes = []
  for (; n > 0x7f; n >>= 7) bytes.push((n & 0x7f) | 0x80)
  return [...bytes, n]
}

function section(id, ...parts) {
  const body = Buffer.concat(parts.map((part) => Buffer.from(part)))
  return Buffer.concat([Buffer.from([id, ...length(body.length)]), body])
}

/** A module of WebAssembly with a memory `mem`, which begins with pieces of data, with something beside that before and behind them. */
function engine(before, pieces, behind) {
  const data = pieces.map(([place, bytes]) => Buffer.concat([Buffer.from([0x00, 0x41, ...leb(place), 0x0b, ...length(bytes.length)]), bytes]))
  return Buffer.concat([
    Buffer.from([0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0]),
    section(5, [1, 0, 2]), // two pages of memory
    section(7, [1, 3], Buffer.from('mem'), [2, 0]),
    section(0, [1], Buffer.from('n'), before),
    section(11, length(pieces.length), ...data),
    section(0, [1], Buffer.from('n'), behind),
  ])
}

const first = engine(noise(300_001, 7), [[1024, noise(50_000, 3)], [64_000, noise(20_000, 5)], [131_071, noise(1, 9)]], noise(500, 17))
const second = engine(Buffer.concat([noise(5_000, 11), noise(300_001, 7).subarray(1_000, 290_000), noise(5_000, 13)]), [[16, noise(50_000, 3)]], noise(3, 19))
const third = engine(Buffer.concat([noise(2_000, 23), noise(300_001, 7).subarray(1_000, 290_000)]), [[64, noise(50_000, 3)]], noise(3, 29))

function at(name) {
  return join(folder, name)
}

function sizes(wasm) {
  const { data, code } = apart(wasm)
  return { data: data.length, code: code.length }
}

/** Runs what was packed, as the threads do. */
async function run(packed, from, sizes) {
  const { data, code } = await unpacked(packed, from, sizes)
  const { instance } = await WebAssembly.instantiate(await code.arrayBuffer())
  lay(data, instance)
  return memory(instance)
}

function memory(instance) {
  return Buffer.from(instance.exports.mem.buffer)
}

test('an engine without its data, which are laid into its memory, is the same engine', async () => {
  for (const wasm of [first, second]) {
    const { data, code } = apart(wasm)
    const [whole, without] = await Promise.all([wasm, code].map((one) => WebAssembly.instantiate(one)))
    expect(memory(without.instance).some((byte) => byte !== 0)).toBe(false)
    lay(data, without.instance)
    expect(memory(without.instance).equals(memory(whole.instance))).toBe(true)
  }
})

test('programs packed as one: each needs its own file and those before it', async () => {
  const all = [first, second, third]
  all.forEach((wasm, i) => writeFileSync(at(`in${i}`), wasm))
  execFileSync(process.execPath, ['practice-site/pack.js', ...['in0', 'in1', 'in2', 'out0', 'out1', 'out2'].map(at)])
  const files = [0, 1, 2].map((i) => readFileSync(at(`out${i}`)))
  expect(files[1].length, 'what two have in common is packed once').toBeLessThan(80_000)
  expect(files[2].length, 'what the third has in common with the second, too').toBeLessThan(80_000)

  let before = 0
  for (const [i, wasm] of all.entries()) {
    const { instance } = await WebAssembly.instantiate(wasm)
    expect((await run(new Blob(files.slice(0, i + 1)), before, sizes(wasm))).equals(memory(instance))).toBe(true)
    before += sizes(wasm).data + sizes(wasm).code
  }
  await expect(run(new Blob([files[0].subarray(0, 100_000)]), 0, sizes(first))).rejects.toThrow()
}, 60_000)
