import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { Horn } from './horn.svelte'

describe('the horn', () => {
  beforeEach(() => {
    vi.useFakeTimers()
    vi.stubGlobal('localStorage', { getItem: () => null })
    vi.stubGlobal('BroadcastChannel', undefined)
  })
  afterEach(() => {
    vi.useRealTimers()
    vi.unstubAllGlobals()
  })

  it('sounds long enough to be heard after a tap', () => {
    const horn = new Horn('g')
    horn.press()
    vi.advanceTimersByTime(45)
    horn.release()
    vi.advanceTimersByTime(554)
    expect(horn.sounding).toBe(true)
    vi.advanceTimersByTime(2)
    expect(horn.sounding).toBe(false)
  })
  it('sounds as long as it is held, and ends when the finger goes up', () => {
    const horn = new Horn('g')
    horn.press()
    vi.advanceTimersByTime(4000)
    expect(horn.sounding).toBe(true)
    horn.release()
    expect(horn.sounding).toBe(false)
  })
  it('goes on where it is pressed again before it ended', () => {
    const horn = new Horn('g')
    horn.press()
    horn.release()
    vi.advanceTimersByTime(300)
    horn.press()
    vi.advanceTimersByTime(1000)
    expect(horn.sounding).toBe(true)
    horn.release()
    expect(horn.sounding).toBe(false)
  })
  it('sounds for its time at the end of a period', () => {
    const horn = new Horn('g')
    horn.press(2500)
    vi.advanceTimersByTime(2400)
    expect(horn.sounding).toBe(true)
    vi.advanceTimersByTime(200)
    expect(horn.sounding).toBe(false)
  })
})
