const tick = 12 // milliseconds: felt as the press itself, and over before the finger is up

/**
 * A finger feels its press on a control at once, where the device can: when it comes down, and not when
 * the bench has answered. What cannot be pressed is not felt. The result ends it.
 */
export function feelPresses(on: Pick<EventTarget, 'addEventListener' | 'removeEventListener'> = document, device: Partial<Pick<Navigator, 'vibrate'>> = navigator): () => void {
  const feel = (event: Event) => {
    if ((event as PointerEvent).pointerType !== 'touch' || !(event.target instanceof Element)) return
    const control = event.target.closest('button, a[href], summary, [role=checkbox], [role=radio]')
    if (control && !control.matches(':disabled')) device.vibrate?.(tick)
  }
  on.addEventListener('pointerdown', feel, { capture: true, passive: true })
  return () => on.removeEventListener('pointerdown', feel, { capture: true })
}
