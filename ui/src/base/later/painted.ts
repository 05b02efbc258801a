/**
 * Does something when the picture that is due has been painted: it is not in the way of it. That is so when the
 * next one begins: right after the page's own part the browser still draws, and a slow phone has one processor for both.
 */
export function painted(then: () => void): void {
  requestAnimationFrame(() => requestAnimationFrame(then))
}
