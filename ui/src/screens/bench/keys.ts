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

/** Taps the button with that hook, if it is there. */
function tap(hook: string): void {
  document.querySelector<HTMLButtonElement>(`[data-bench="${hook}"]`)?.click()
}

/** Does what the digit says about something to settle. No call begins with a digit. */
function act(desk: Desk, digit: string): boolean {
  const found = desk.rows.flatMap((row) => row.acts).find((one) => one.key === digit)
  found?.run()
  return found !== undefined
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
    } else if (event.key === 'F9') {
      event.preventDefault()
      if (event.shiftKey) desk.ticks.checking = !desk.ticks.checking
      else if (!event.repeat) desk.ticks.tick()
    } else if (event.code === 'Space' && free) {
      event.preventDefault()
      if (!event.repeat) desk.pressClock(event)
    } else if (free && (event.ctrlKey || event.metaKey) && /^[zy]$/i.test(event.key)) {
      event.preventDefault()
      tap(event.key.toLowerCase() === 'y' || event.shiftKey ? 'redo' : 'undo')
    } else if (letters && free && /^[1-9]$/.test(event.key) && desk.asks && act(desk, event.key)) {
      event.preventDefault()
    } else if (letters && free && (event.key === ',' || event.key === '.') && !event.repeat) {
      event.preventDefault()
      tap(event.key === ',' ? 'shot-home' : 'shot-visitors')
    } else if (event.key === '?' && letters && (free || at === 'control')) {
      event.preventDefault()
      desk.showHelp = true
    } else if (event.key === 'Escape') {
      if (desk.showHelp) desk.showHelp = false
      else if (desk.showRosters) desk.showRosters = false
      else if (desk.showWork) desk.showWork = false
      else if (desk.settingClock) desk.settingClock = false
      else if (desk.readingBoard) desk.readingBoard = false
      else if (desk.showWhen) desk.showWhen = false
      else if (desk.ticks.checking) desk.ticks.checking = false
      else if (desk.slot.open) desk.slot.open = false
      else if (desk.whyRow !== '') desk.whyRow = ''
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
    if (!desk.showHelp && !desk.showRosters && !desk.showWork && !desk.settingClock && !desk.readingBoard) focusCommand()
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
