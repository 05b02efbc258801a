/** Marks the row of the entry that the page's address points at, and brings it into sight. */
export function pointed(node: HTMLElement, entry: string): void {
  if (location.hash !== entryHash(entry) || document.querySelector('[data-pointed]')) return
  node.dataset.pointed = ''
  node.tabIndex = -1
  // Whatever stands above it is there by the next picture.
  requestAnimationFrame(() => {
    node.scrollIntoView({ block: 'center' })
    node.focus({ preventScroll: true })
  })
}

/** What a page's address ends with so that it points at an entry. */
export function entryHash(entry: string): string {
  return `#entry-${entry}`
}
