import { expect, test } from 'vitest'
import { Calls, decoded, joined, lacking, type ToEngine } from './engine'

test('what an old browser lacks is named', () => {
  expect(lacking({ WebAssembly: {}, Worker: 1 })).toBe('')
  expect(lacking({ WebAssembly: {} })).toBe('Worker')
})

test('the engine comes whole: in parts from a host, as text from a folder', () => {
  const bytes = Uint8Array.from({ length: 300 }, (_, i) => i % 256)
  expect(joined([bytes.slice(0, 7), bytes.slice(7, 7), bytes.slice(7)], 300)).toEqual(bytes)
  expect(decoded(btoa(String.fromCharCode(...bytes)))).toEqual(bytes)
})

test('an answer goes to the call that asked, whatever the order', async () => {
  const sent: ToEngine[] = []
  const calls = new Calls((call) => sent.push(call))
  const first = calls.call('GET', '/time', '', 1)
  const second = calls.call('POST', '/practice/look', '{}', 2)
  expect(sent).toEqual([
    { id: 1, method: 'GET', path: '/time', body: '', now: 1 },
    { id: 2, method: 'POST', path: '/practice/look', body: '{}', now: 2 },
  ])
  calls.answered(2, { status: 200, body: 'second' })
  calls.answered(1, { status: 404, body: 'first' })
  expect(await first).toEqual({ status: 404, body: 'first' })
  expect(await second).toEqual({ status: 200, body: 'second' })
})

test('when the engine ends, whoever waits and whoever asks later is told', async () => {
  const sent: ToEngine[] = []
  const calls = new Calls((call) => sent.push(call))
  const waiting = calls.call('GET', '/time', '', 1)
  calls.end('it ended')
  await expect(waiting).rejects.toThrow('it ended')
  await expect(calls.call('GET', '/time', '', 2)).rejects.toThrow('it ended')
  expect(sent).toHaveLength(1)
})
