/** Does something when the picture that is due has been painted: it is not in the way of it. */
export function painted(then: () => void): void {
  requestAnimationFrame(() => setTimeout(then))
}
