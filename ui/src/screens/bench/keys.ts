import type { Desk } from './desk.svelte'

const setting = 'whistlestop.letters'

/** Whether single letters and signs work as shortcuts (WCAG 2.1.4: they can be switched off). */
export function lettersOn(): boolean {
  return localStorage.getItem(setting) !== 'off'
}

export function setLetters(on: boolean): void {
  localStorage.setItem(setting, on ? 'on' : 'off')
}

/** The field of the command line, which keeps the focus unless another field is chosen. */
const commandId = 'command'

/** Gives the focus to the command line, where a keyboard is likely to be at hand. */
export function focusCommand(): void {
  if (!matchMedia('(pointer: fine)').matches) return
  document.getElementById(commandId)?.focus({ preventScroll: true })
}

/** What holds the focus, as far as the keys care. */
function place(target: EventTarget | null): 'command' | 'command-empty' | 'field' | 'control' | 'page' {
  if (!(target instanceof HTMLElement)) return 'page'
  if (target.id === commandId) return (target as HTMLInputElement).value === '' ? 'command-empty' : 'command'
  if (target.matches('input, textarea, select')) return 'field'
  if (target.matches('button, a, summary')) return 'control'
  return 'page'
}

/** Listens to the keys of the whole page. The result ends it. */
export function listenToKeys(desk: Desk): () => void {
  const down = (event: KeyboardEvent) => {
    desk.horn.wake()
    const at = place(event.target)
    const letters = lettersOn() && !event.ctrlKey && !event.metaKey && !event.altKey
    const free = at === 'page' || at === 'command-empty'
    if (event.key === 'F8' || (letters && (at === 'page' || at === 'control') && event.key.toLowerCase() === 'b')) {
      event.preventDefault()
      if (!event.repeat) desk.horn.press()
    } else if (event.code === 'Space' && free) {
      event.preventDefault()
      if (!event.repeat) desk.game.pressClock(event)
    } else if (event.key === '?' && letters && (free || at === 'control')) {
      event.preventDefault()
      desk.showHelp = true
    } else if (event.key === 'Escape') {
      if (desk.showHelp) desk.showHelp = false
      else if (desk.showRosters) desk.showRosters = false
      else if (desk.settingClock) desk.settingClock = false
      else if (desk.showWhen) desk.showWhen = false
      else desk.builder.back()
      focusCommand()
    } else if (event.key === 'Enter' && at === 'page') {
      desk.post()
    } else if (letters && at === 'page' && event.key.length === 1 && event.key !== ' ') {
      // A letter that nothing else wants goes where it makes sense: to the command line.
      document.getElementById(commandId)?.focus({ preventScroll: true })
    }
  }
  const up = (event: KeyboardEvent) => {
    if (event.key === 'F8' || event.key.toLowerCase() === 'b') desk.horn.release()
  }
  // A key that is let go in another window is never heard of here.
  const away = () => desk.horn.release()
  const touched = () => desk.horn.wake()
  // After a tap the focus goes back, so that the space bar means the clock again.
  const tapped = (event: MouseEvent) => {
    if (event.detail === 0 || !(event.target instanceof Element)) return
    const control = event.target.closest('button, a, input, select, textarea, dialog')
    if (control && !control.matches('button')) return
    if (control instanceof HTMLElement) control.blur()
    if (!desk.showHelp && !desk.showRosters && !desk.settingClock) focusCommand()
  }
  window.addEventListener('keydown', down)
  window.addEventListener('keyup', up)
  window.addEventListener('blur', away)
  window.addEventListener('pointerdown', touched)
  window.addEventListener('click', tapped)
  return () => {
    window.removeEventListener('keydown', down)
    window.removeEventListener('keyup', up)
    window.removeEventListener('blur', away)
    window.removeEventListener('pointerdown', touched)
    window.removeEventListener('click', tapped)
  }
}
