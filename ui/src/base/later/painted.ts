const drawn = 20 // milliseconds until other threads have drawn a picture: on a slow processor the page would take it from them

/** Does something when the picture that is due has been painted: it is not in the way of it. */
export function painted(then: () => void): void {
  requestAnimationFrame(() => setTimeout(then, drawn))
}

const hidden = 100 // milliseconds after which no picture comes: the page is not seen

/** Waits until the picture that is due has been painted, or none is. */
export function nextPicture(): Promise<void> {
  return new Promise((resolve) => {
    painted(resolve)
    setTimeout(resolve, hidden)
  })
}
