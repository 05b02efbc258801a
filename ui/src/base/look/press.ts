/** How long a device shakes under a press, in milliseconds: felt, and not heard. */
const shake = 12

/**
 * Lets people feel a press at once, where the device can: at the touch, not when it is let go. What it
 * looks like is the style sheet's (`:active`). The result ends it.
 */
export function feelPresses(root: HTMLElement, device: Pick<Navigator, 'vibrate'> | Navigator = navigator): () => void {
  const down = (event: PointerEvent) => {
    const button = event.target instanceof Element ? event.target.closest('button') : null
    if (event.pointerType !== 'mouse' && button && !button.disabled && typeof device.vibrate === 'function') device.vibrate(shake)
  }
  root.addEventListener('pointerdown', down, { passive: true })
  return () => root.removeEventListener('pointerdown', down)
}
