const still = 10 // points that a finger may move in a tap, less than browsers allow
const brief = 400 // milliseconds that it may stay, less than where browsers see a long press
const calm = 150 // milliseconds without scrolling: a tap before then only stops that

interface Start {
  id: number
  x: number
  y: number
  at: number
}

/**
 * Has a button clicked at the instant when a finger leaves it. A browser clicks some 5 ms later, and draws the
 * button pressed before it does. What is not plainly a tap (it moved, stayed, scrolled, came with a second finger, ends
 * beside the button) is left to the browser, and so are keys, pointers with buttons and assistive technology.
 */
export function tapped(button: HTMLButtonElement): () => void {
  let start: Start | undefined
  let scrolled = Number.NEGATIVE_INFINITY

  const scroll = (event: Event) => (scrolled = event.timeStamp)
  const down = (event: TouchEvent) => {
    const [touch] = event.touches
    const begins = touch && event.touches.length === 1 && event.composedPath().includes(button) && event.timeStamp - scrolled > calm
    start = begins ? { id: touch.identifier, x: touch.clientX, y: touch.clientY, at: event.timeStamp } : undefined
  }
  const up = (event: TouchEvent) => {
    const from = start
    start = undefined
    const [touch] = event.changedTouches
    if (!from || !touch || touch.identifier !== from.id || !event.cancelable || button.disabled) return
    const { clientX: x, clientY: y } = touch
    if (event.timeStamp - from.at > brief || Math.hypot(x - from.x, y - from.y) > still || scrolled > from.at) return
    if (!button.contains(document.elementFromPoint(x, y))) return
    event.preventDefault() // no second click comes
    if (document.activeElement instanceof HTMLElement) document.activeElement.blur() // as a click takes the focus
    button.dispatchEvent(new PointerEvent('click', {
      bubbles: true, cancelable: true, composed: true, view: window, detail: 1, clientX: x, clientY: y, pointerType: 'touch',
    }))
  }

  const passive = { capture: true, passive: true }
  window.addEventListener('scroll', scroll, passive)
  window.addEventListener('touchstart', down, passive)
  button.addEventListener('touchend', up, { passive: false })
  return () => {
    window.removeEventListener('scroll', scroll, passive)
    window.removeEventListener('touchstart', down, passive)
    button.removeEventListener('touchend', up)
  }
}
