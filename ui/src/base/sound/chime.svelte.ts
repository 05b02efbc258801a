const setting = 'whistlestop.chime'
const linger = 1000 // milliseconds until the sound rests: the tone has died away by then

/**
 * Chime is a short soft tone that goes with an alert, for those who want one.
 * It is off until somebody turns it on: a bench beside the ice is loud already.
 */
export class Chime {
  on = $state(localStorage.getItem(setting) === 'on')
  #context: AudioContext | undefined
  #rest: ReturnType<typeof setTimeout> | undefined

  set(on: boolean): void {
    this.on = on
    localStorage.setItem(setting, on ? 'on' : 'off')
    // Turned on by a touch, it is heard at once, and may be heard from then on.
    if (on) this.sound()
  }

  sound(): void {
    if (!this.on) return
    this.#context ??= new AudioContext()
    const context = this.#context
    void context.resume()
    const tone = context.createOscillator()
    const gain = context.createGain()
    const start = context.currentTime
    tone.frequency.value = 880
    gain.gain.setValueAtTime(0, start)
    gain.gain.linearRampToValueAtTime(0.2, start + 0.02)
    gain.gain.exponentialRampToValueAtTime(0.001, start + 0.35)
    tone.connect(gain).connect(context.destination)
    tone.start(start)
    tone.stop(start + 0.4)
    // What runs wakes the device's processor a hundred times a second, also while it is silent.
    clearTimeout(this.#rest)
    this.#rest = setTimeout(() => void context.suspend(), linger)
  }
}
