import { painted } from '../later/painted'

const settings = 'whistlestop.horn'
const shortest = 600 // milliseconds that a tap sounds: less is not heard as a horn
const loudest = 0.8 // of full scale: a limit, because speakers beside a bench are near to ears
const linger = 1000 // milliseconds until the sound rests once nothing needs it: the horn has died away by then

/**
 * Horn sounds while it is held, and for a moment at the end of a period. It has
 * a visible twin: `sounding` says that the horn is on, whether it is heard or
 * not. Browsers keep it silent until the page was touched.
 */
export class Horn {
  sounding = $state(false)
  /** From 0 (silent) to 1 (the limit). */
  loudness = $state(read())
  /** Whether a touch has allowed sound. */
  awake = $state(false)
  #context: AudioContext | undefined
  #gain: GainNode | undefined
  #tones: OscillatorNode[] = []
  #since = 0
  #end: ReturnType<typeof setTimeout> | undefined
  #near = false
  #rest: ReturnType<typeof setTimeout> | undefined
  #channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('whistlestop.horn')

  /** `begun` hears when it begins to sound. */
  constructor(private readonly game: string, private readonly begun: () => void = () => undefined) {}

  /** Gets the sound ready, which takes too long for the moment of the first press on the clock. */
  prepare(): void {
    if (this.#context) return
    const context = new AudioContext()
    this.#context = context
    context.onstatechange = () => {
      if (context.state !== 'suspended') this.awake = context.state === 'running'
    }
    const squeeze = context.createDynamicsCompressor()
    this.#gain = context.createGain()
    this.#gain.gain.value = 0
    this.#gain.connect(squeeze).connect(context.destination)
    this.#rests()
  }

  /** Called on a touch or key: from the first one on the horn can be heard. */
  wake(): void {
    if (this.awake && !this.#near) return
    this.prepare()
    this.#runs()
  }

  /** Whether a clock runs, at whose end the horn sounds by itself. Called in every frame. */
  near(near: boolean): void {
    if (near === this.#near) return
    this.#near = near
    painted(() => this.#runs())
  }

  /** Lets sound through from now on, for as long as it may be needed at once. */
  #runs(): void {
    void this.#context?.resume()
    this.#rests()
  }

  /** A device's sound that runs wakes its processor a hundred times a second, also while it is silent. */
  #rests(): void {
    clearTimeout(this.#rest)
    if (!this.#near && !this.sounding) this.#rest = setTimeout(() => void this.#context?.suspend(), linger)
  }

  /** Sounds until release, or for `milliseconds`. */
  press(milliseconds?: number): void {
    clearTimeout(this.#end)
    if (milliseconds !== undefined) this.#end = setTimeout(() => this.#stop(), milliseconds)
    if (this.sounding) return
    this.sounding = true
    this.#since = performance.now()
    this.#channel?.postMessage({ game: this.game, sounding: true })
    this.begun()
    this.#runs()
    const { currentTime } = this.#context ?? {}
    if (!this.#context || !this.#gain || currentTime === undefined || this.loudness === 0) return
    this.#tones = [196, 233, 294].map((pitch) => this.#tone(pitch))
    this.#gain.gain.cancelScheduledValues(currentTime)
    this.#gain.gain.setTargetAtTime(this.loudness * loudest, currentTime, 0.015)
  }

  /** The finger goes up: it sounds on until a horn was heard. */
  release(): void {
    if (!this.sounding) return
    clearTimeout(this.#end)
    const left = shortest - (performance.now() - this.#since)
    if (left > 0) this.#end = setTimeout(() => this.#stop(), left)
    else this.#stop()
  }

  /** The screen is left: nothing sounds on. */
  close(): void {
    this.release()
    this.near(false)
  }

  #stop(): void {
    clearTimeout(this.#end)
    if (!this.sounding) return
    this.sounding = false
    this.#channel?.postMessage({ game: this.game, sounding: false })
    const now = this.#context?.currentTime ?? 0
    this.#gain?.gain.setTargetAtTime(0, now, 0.03)
    for (const tone of this.#tones) tone.stop(now + 0.25)
    this.#tones = []
    this.#rests()
  }

  setLoudness(to: number): void {
    this.loudness = Math.min(1, Math.max(0, to))
    localStorage.setItem(settings, String(this.loudness))
  }

  /** Shows on another screen of this device what the bench sounds. The result ends it. */
  follow(): () => void {
    const channel = this.#channel
    if (!channel) return () => undefined
    channel.onmessage = (event: MessageEvent<{ game: string; sounding: boolean }>) => {
      if (event.data.game === this.game) this.sounding = event.data.sounding
    }
    return () => channel.close()
  }

  #tone(pitch: number): OscillatorNode {
    const context = this.#context as AudioContext
    const tone = context.createOscillator()
    const soften = context.createBiquadFilter()
    tone.type = 'sawtooth'
    tone.frequency.value = pitch
    soften.type = 'lowpass'
    soften.frequency.value = 1800
    const share = context.createGain()
    share.gain.value = 1 / 3
    tone.connect(soften).connect(share).connect(this.#gain as GainNode)
    tone.start()
    return tone
  }
}

function read(): number {
  const stored = Number(localStorage.getItem(settings) ?? '0.6')
  return Number.isFinite(stored) ? Math.min(1, Math.max(0, stored)) : 0.6
}
