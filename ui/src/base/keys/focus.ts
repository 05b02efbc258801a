/** The field of the command line, which keeps the focus unless another field is chosen. */
export const commandId = 'command'

/** Gives the focus to the command line, where a keyboard is likely to be at hand. */
export function focusCommand(): void {
  if (!matchMedia('(pointer: fine)').matches) return
  document.getElementById(commandId)?.focus({ preventScroll: true })
}
