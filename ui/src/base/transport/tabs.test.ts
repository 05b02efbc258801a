import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { Tabs } from './tabs'

type Channel = NonNullable<ConstructorParameters<typeof Tabs>[0]>

/** Channels of one browser: what one says all others hear. */
function browser() {
  const all = new Set<Channel>()
  return (): Channel => {
    const channel: Channel = {
      onmessage: null,
      postMessage: (data) => {
        for (const other of all) if (other !== channel) setTimeout(() => other.onmessage?.({ data } as Parameters<NonNullable<Channel['onmessage']>>[0]), 1)
      },
      close: () => void all.delete(channel),
    }
    all.add(channel)
    return channel
  }
}

describe('pages of one browser (N7)', () => {
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())

  async function open(channel: Channel) {
    const tabs = new Tabs(channel)
    const leave = tabs.count()
    const room = tabs.room()
    await vi.advanceTimersByTimeAsync(300)
    return { room: await room, leave }
  }

  it('are five; the sixth and seventh hear that there is no room, until one is closed', async () => {
    const join = browser()
    const pages = []
    for (let i = 0; i < 5; i++) pages.push(await open(join()))
    expect(pages.map((page) => page.room)).toEqual([true, true, true, true, true])
    for (let i = 0; i < 2; i++) {
      const crowded = await open(join())
      expect(crowded.room).toBe(false)
      crowded.leave()
    }
    pages[0]?.leave()
    expect((await open(join())).room).toBe(true)
  })
  it('have no limit where there is no channel to count by', async () => {
    const room = new Tabs(undefined).room()
    await vi.advanceTimersByTimeAsync(300)
    expect(await room).toBe(true)
  })
})
