import type { Horn } from './horn.svelte'

/** What holding the horn's button does: it sounds while the pointer or a key is down. */
export function hornHands(horn: Horn): { sound: (event: PointerEvent) => void; hornKey: (event: KeyboardEvent) => void } {
  return {
    sound(event) {
      if (event.button !== 0) return
      ;(event.currentTarget as Element).setPointerCapture(event.pointerId)
      horn.wake()
      horn.press()
    },
    hornKey(event) {
      if (event.key !== ' ' && event.key !== 'Enter') return
      event.preventDefault()
      if (!event.repeat) horn.press()
    },
  }
}
