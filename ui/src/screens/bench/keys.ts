import { commandId, focusCommand } from '../../base/keys/focus'
import { type Meaning, meaningOf, type Place, quietFor } from '../../base/keys/keys'
import type { Desk } from '../../parts/desk/desk.svelte'

const setting = 'whistlestop.letters'

/** Whether single letters and signs work as shortcuts (WCAG 2.1.4: they can be switched off). */
export function lettersOn(): boolean {
  return localStorage.getItem(setting) !== 'off'
}

export function setLetters(on: boolean): void {
  localStorage.setItem(setting, on ? 'on' : 'off')
}

/** Buttons that turn into another act when they are used: the next key must not find them. */
const returns = '[data-bench=next-stage], [data-bench=stage-choice], [data-bench=clock-control], [data-bench=post], [data-bench=settle], [data-bench^=unusual-], [data-bench^=repeat-]'

/** What holds the focus, as far as the keys care. */
function place(target: EventTarget | null): Place {
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

/** Gives the focus to the first thing in an overlay that has just opened. */
function enter(selector: string): void {
  requestAnimationFrame(() => document.querySelector<HTMLElement>(selector)?.focus())
}

/** Closes what is open, the newest first, and last the call. */
function back(desk: Desk): void {
  if (desk.asking.open) desk.asking.close()
  else if (desk.showHelp) desk.showHelp = false
  else if (desk.showRosters) desk.showRosters = false
  else if (desk.showWork) desk.showWork = false
  else if (desk.settingClock) desk.settingClock = false
  else if (desk.readingBoard) desk.readingBoard = false
  else if (desk.showWhen) desk.showWhen = false
  else if (desk.ticks.checking) desk.ticks.checking = false
  else if (desk.slot.open) desk.slot.open = false
  else if (desk.whyRow !== '') desk.whyRow = ''
  else desk.builder.back()
  desk.builder.typedAt = Number.NEGATIVE_INFINITY
  focusCommand()
}

/** Does what a key means. */
function doIt(desk: Desk, meaning: Exclude<Meaning, { act: 'type' }>, event: KeyboardEvent): void {
  switch (meaning.act) {
    case 'clock': return desk.pressClock(event)
    case 'correct': return tap('clock')
    case 'stage': return tap('next-stage')
    case 'more':
      tap('more-stages')
      return enter('[data-bench=more-list] :is(button, a)')
    case 'post': return desk.post()
    case 'collect': return desk.builder.collect()
    case 'settle':
      // Only what can be read is answered: a number behind "and 2 more" opens the list.
      if (desk.rows.some((row) => row.acts.some((one) => one.key === meaning.digit))) {
        const shown = document.querySelector<HTMLButtonElement>(`[data-bench=page] [data-digit="${meaning.digit}"]`)
        if (shown) shown.click()
        else tap('hold-more')
      }
      return
    case 'undo': case 'redo': return tap(meaning.act)
    case 'horn': return desk.horn.press()
    case 'shot-home': case 'shot-visitors': return tap(meaning.act)
    case 'tick': return desk.ticks.tick()
    case 'check':
      desk.ticks.checking = !desk.ticks.checking
      return
    case 'back': return back(desk)
    case 'help':
      // The sign stands in calls as well: whoever meant it there is typing.
      desk.builder.typedAt = performance.now()
      desk.showHelp = true
      return
    case 'too-soon': return desk.asking.sayTooSoon()
  }
}

/** Listens to the keys of the whole page. The result ends it. */
export function listenToKeys(desk: Desk): () => void {
  const down = (event: KeyboardEvent) => {
    desk.horn.wake()
    const { builder } = desk
    const meaning = meaningOf(event, {
      at: place(event.target), letters: lettersOn(),
      quiet: performance.now() - builder.typedAt >= quietFor, amid: builder.amid,
    })
    if (meaning === null || (meaning.act === 'settle' && !desk.asks)) return
    if (meaning.act === 'type') {
      // A letter that nothing else wants goes where it makes sense: to the command line.
      document.getElementById(commandId)?.focus({ preventScroll: true })
      return
    }
    // Escape closes other things as well, which listen for themselves.
    if (meaning.act !== 'back') event.preventDefault()
    if (!event.repeat || meaning.act === 'back') doIt(desk, meaning, event)
  }
  const up = (event: KeyboardEvent) => {
    if (event.key === 'F8') desk.horn.release()
  }
  // A key that is let go in another window is never heard of here.
  const away = () => desk.horn.release()
  const touched = () => desk.horn.wake()
  // After a tap the focus goes back, so that the space bar means the clock again, and not the button once more.
  const tapped = (event: MouseEvent) => {
    if (!(event.target instanceof Element)) return
    const control = event.target.closest('button, a, input, select, textarea, dialog')
    if (control && !control.matches('button')) return
    // By keys and assistive technology people stay where they are, except where the same button now does another act.
    if (event.detail === 0 && !control?.matches(returns)) return
    if (control instanceof HTMLElement) control.blur()
    if (!desk.asking.open && !desk.showHelp && !desk.showRosters && !desk.showWork && !desk.settingClock && !desk.readingBoard) focusCommand()
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
