import { Buffer } from 'node:buffer'
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import process from 'node:process'
import { afterAll, expect, test } from 'vitest'
import { unpacked } from '../src/practice/unpack'

const folder = mkdtempSync(join(tmpdir(), 'whistlestop-pack-'))
afterAll(() => rmSync(folder, { recursive: true }))

/** Bytes that pack badly, the same at each run (the multiplier of Park and Miller, 1988). */
function noise(length, seed) {
  return Uint8Array.from({ length }, () => (seed = (seed * 48271) % 2147483647) & 0xff)
}

function at(name) {
  return join(folder, name)
}

/** What comes out of an answer. */
async function bytes(answer) {
  return Buffer.from(await answer.arrayBuffer())
}

test('two engines packed as one: the first needs its own file only, the second one both', async () => {
  const first = noise(300_001, 7)
  const second = Buffer.concat([noise(5_000, 11), first.subarray(1_000, 290_000), noise(5_000, 13)])
  writeFileSync(at('first'), first)
  writeFileSync(at('second'), second)
  execFileSync(process.execPath, ['practice-site/pack.js', ...['first', 'second', 'front', 'rest'].map(at)])
  const [front, rest] = ['front', 'rest'].map((name) => readFileSync(at(name)))
  expect(rest.length, 'what both have in common is packed once').toBeLessThan(80_000)

  expect((await bytes(unpacked(new Blob([front]), 0, first.length))).equals(first)).toBe(true)
  const both = new Blob([front, rest])
  expect((await bytes(unpacked(both, first.length, second.length))).equals(second)).toBe(true)
  await expect(bytes(unpacked(new Blob([front.subarray(0, 100_000)]), 0, first.length))).rejects.toThrow()
})
