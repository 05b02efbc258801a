const loudest = 0.16 // of full scale: the horn may have 0.8; this is a picture beside the work

/**
 * Noises of the rink, made by the program: nothing is loaded. Each has a twin that
 * is seen. Browsers keep them silent until the page was touched.
 */
export class Noises {
  #context: AudioContext | undefined
  #hiss: AudioBuffer | undefined
  #murmur: GainNode | undefined

  /** Two short tones close together, which beat as a whistle's pea does. */
  whistle(): void {
    const context = this.#ready()
    const gain = this.#shape(context, [[0, 0], [0.02, loudest * 0.5], [0.4, loudest * 0.45], [0.55, 0]])
    for (const pitch of [2_090, 2_130]) {
      const tone = context.createOscillator()
      tone.type = 'triangle'
      tone.frequency.value = pitch
      tone.connect(gain)
      tone.start()
      tone.stop(context.currentTime + 0.6)
    }
  }

  /** The puck on the ice: a short dull knock. */
  drop(): void {
    const context = this.#ready()
    this.#rush(context, 'lowpass', 900, this.#shape(context, [[0, loudest], [0.02, loudest * 0.6], [0.12, 0]]), 0.15)
  }

  cheer(): void {
    const context = this.#ready()
    const gain = this.#shape(context, [[0, 0], [0.5, loudest * 0.7], [2, loudest * 0.6], [4.5, 0]])
    this.#rush(context, 'bandpass', 1_100, gain, 4.6)
  }

  /** The murmur of the crowd goes on until it is turned off. */
  murmur(on: boolean): void {
    if (!on && !this.#murmur) return
    const context = this.#ready()
    if (!this.#murmur) {
      this.#murmur = context.createGain()
      this.#murmur.gain.value = 0
      this.#murmur.connect(context.destination)
      this.#rush(context, 'lowpass', 420, this.#murmur)
    }
    this.#murmur.gain.setTargetAtTime(on ? loudest * 0.14 : 0, context.currentTime, 0.4)
  }

  close(): void {
    void this.#context?.close()
    this.#context = this.#murmur = undefined
  }

  #ready(): AudioContext {
    this.#context ??= new AudioContext()
    if (this.#context.state === 'suspended') void this.#context.resume()
    return this.#context
  }

  /** A gain that goes through points in time: seconds from now, and how loud. */
  #shape(context: AudioContext, points: [seconds: number, gain: number][]): GainNode {
    const node = context.createGain()
    const [first, ...others] = points
    node.gain.setValueAtTime(first?.[1] ?? 0, context.currentTime)
    for (const [seconds, gain] of others) node.gain.linearRampToValueAtTime(gain, context.currentTime + seconds)
    node.connect(context.destination)
    return node
  }

  /** Noise through a filter, for some seconds, or for good. */
  #rush(context: AudioContext, kind: BiquadFilterType, pitch: number, to: GainNode, seconds?: number): void {
    this.#hiss ??= hissOf(context)
    const source = context.createBufferSource()
    source.buffer = this.#hiss
    source.loop = true
    const filter = context.createBiquadFilter()
    filter.type = kind
    filter.frequency.value = pitch
    source.connect(filter).connect(to)
    source.start()
    if (seconds !== undefined) source.stop(context.currentTime + seconds)
  }
}

/** Two seconds of noise, which are played again and again. */
function hissOf(context: AudioContext): AudioBuffer {
  const buffer = context.createBuffer(1, context.sampleRate * 2, context.sampleRate)
  const samples = buffer.getChannelData(0)
  for (let i = 0; i < samples.length; i++) samples[i] = Math.random() * 2 - 1
  return buffer
}
