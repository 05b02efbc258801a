import { afterEach, expect, test, vi } from 'vitest'
import { type FromPress, type Order, print } from './press'

/** A thread that answers when the test says so. */
class Thread {
  static started: Thread[] = []
  onmessage: ((event: MessageEvent<FromPress>) => void) | null = null
  onerror: ((event: { message: string }) => void) | null = null
  asked: Order | undefined
  ended = false

  constructor() {
    Thread.started.push(this)
  }
  postMessage(order: Order): void {
    this.asked = order
  }
  terminate(): void {
    this.ended = true
  }
  tell(data: FromPress): void {
    this.onmessage?.(new MessageEvent('message', { data }))
  }
}

afterEach(() => {
  vi.unstubAllGlobals()
  vi.useRealTimers()
})

const order = (text: string): Order => ({ order: new TextEncoder().encode(text), language: 'en', texts: '', faces: new Map() })

function threads(): Thread[] {
  Thread.started = []
  vi.stubGlobal('Worker', Thread)
  return Thread.started
}

test('each order has a thread of its own, one after the other, which ends', async () => {
  const all = threads()
  const [first, second] = [print(order('one')), print(order('two'))]
  await vi.waitFor(() => expect(all).toHaveLength(1))
  all[0]?.tell({ pdf: new Uint8Array([1]) })
  expect(await first).toEqual(new Uint8Array([1]))
  expect(all[0]?.ended).toBe(true)
  await vi.waitFor(() => expect(all).toHaveLength(2))
  all[1]?.tell({ failed: 'card.too_long' })
  await expect(second).rejects.toThrow('card.too_long')
  expect(all[1]?.ended).toBe(true)
})

test('a thread that breaks or says nothing is told of, ends, and the next order is printed', async () => {
  const all = threads()
  const broken = print(order('one'))
  await vi.waitFor(() => expect(all).toHaveLength(1))
  all[0]?.onerror?.({ message: 'out of memory' })
  await expect(broken).rejects.toThrow('out of memory')

  vi.useFakeTimers()
  const silent = print(order('two'))
  const said = expect(silent).rejects.toThrow('does not answer')
  await vi.advanceTimersByTimeAsync(121_000)
  await said
  expect(all.map((one) => one.ended)).toEqual([true, true])
})
