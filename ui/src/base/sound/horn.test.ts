import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { Horn } from './horn.svelte'

let sound: Sound

/** The device's sound as far as it is let through and kept back. */
class Sound {
  state = 'suspended'
  currentTime = 0
  destination = {}
  onstatechange: () => void = () => undefined
  readonly resume = () => this.#becomes('running')
  readonly suspend = () => this.#becomes('suspended')
  readonly createGain = () => this.#node()
  readonly createDynamicsCompressor = () => this.#node()
  readonly createOscillator = () => this.#node()
  readonly createBiquadFilter = () => this.#node()

  #node() {
    const nothing = () => undefined
    return { gain: { value: 0, setTargetAtTime: nothing, cancelScheduledValues: nothing }, frequency: { value: 0 }, start: nothing, stop: nothing, connect: (to: unknown) => to }
  }
  #becomes(state: string): void {
    this.state = state
    this.onstatechange()
  }
}

describe('the horn', () => {
  beforeEach(() => {
    vi.useFakeTimers()
    sound = new Sound()
    vi.stubGlobal('AudioContext', function () { return sound })
    vi.stubGlobal('requestAnimationFrame', (then: () => void) => setTimeout(then, 16))
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
  it('has a sound that runs while the clock does or it sounds, and rests otherwise', () => {
    const horn = new Horn('g')
    horn.prepare()
    horn.wake()
    expect([sound.state, horn.awake]).toEqual(['running', true])
    vi.advanceTimersByTime(1500)
    expect([sound.state, horn.awake]).toEqual(['suspended', true])
    horn.wake() // a touch that is no horn
    expect(sound.state).toBe('suspended')
    horn.near(true)
    vi.advanceTimersByTime(20_000)
    expect(sound.state).toBe('running')
    horn.press(2500) // the clock has run out
    horn.near(false)
    vi.advanceTimersByTime(3000)
    expect([sound.state, horn.sounding]).toEqual(['running', false])
    vi.advanceTimersByTime(1500)
    expect(sound.state).toBe('suspended')
    horn.press()
    vi.advanceTimersByTime(20_000)
    expect([sound.state, horn.sounding]).toEqual(['running', true])
    horn.release()
    vi.advanceTimersByTime(1500)
    expect(sound.state).toBe('suspended')
  })
  it('is let through again by the next touch where the device took the sound away', () => {
    const horn = new Horn('g')
    horn.wake()
    horn.near(true)
    vi.advanceTimersByTime(100)
    sound.state = 'interrupted'
    sound.onstatechange()
    expect(horn.awake).toBe(false)
    horn.wake()
    expect([sound.state, horn.awake]).toEqual(['running', true])
  })
})
