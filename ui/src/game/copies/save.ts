/** Hands a text to the person as a file. Needs no bench. */
export function saveFile(name: string, text: string, type = 'application/jsonl'): void {
  const address = URL.createObjectURL(new Blob([text], { type }))
  const link = document.createElement('a')
  link.href = address
  link.download = name
  link.click()
  // The browser has to have begun with it before the address goes.
  setTimeout(() => URL.revokeObjectURL(address), 60_000)
}
