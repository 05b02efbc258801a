import { commandId, focusCommand } from '../../base/keys/focus'
import { type Meaning, meaningOf, type Place, quietFor } from '../../base/keys/keys'
import type { Page } from './page.svelte'

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
function back(page: Page): void {
  if (page.composer.asking.open) page.composer.asking.close()
  else if (page.showHelp) page.showHelp = false
  else if (page.showRosters) page.showRosters = false
  else if (page.showWork) page.showWork = false
  else if (page.clock.setting) page.clock.setting = false
  else if (page.clock.readingBoard) page.clock.readingBoard = false
  else if (page.composer.showWhen) page.composer.showWhen = false
  else if (page.whistle.ticks.checking) page.whistle.ticks.checking = false
  else if (page.slot.open) page.slot.open = false
  else if (page.whyRow !== '') page.whyRow = ''
  else page.composer.builder.back()
  page.composer.builder.typedAt = Number.NEGATIVE_INFINITY
  focusCommand()
}

/** Does what a key means. */
function doIt(page: Page, meaning: Exclude<Meaning, { act: 'type' }>, event: KeyboardEvent): void {
  switch (meaning.act) {
    case 'clock': return page.clock.press(event)
    case 'correct': return tap('clock')
    case 'stage': return tap('next-stage')
    case 'more':
      tap('more-stages')
      return enter('[data-bench=more-list] :is(button, a)')
    case 'post': return page.composer.post()
    case 'collect': return page.composer.builder.collect()
    case 'settle':
      // Only what can be read is answered: a number behind "and 2 more" opens the list.
      if (page.whistle.rows.some((row) => row.acts.some((one) => one.key === meaning.digit))) {
        const shown = document.querySelector<HTMLButtonElement>(`[data-bench=page] [data-digit="${meaning.digit}"]`)
        if (shown) shown.click()
        else tap('hold-more')
      }
      return
    case 'undo': case 'redo': return tap(meaning.act)
    case 'horn': return page.horn.press()
    case 'shot-home': case 'shot-visitors': return tap(meaning.act)
    case 'tick': return page.whistle.ticks.tick()
    case 'check':
      page.whistle.ticks.checking = !page.whistle.ticks.checking
      return
    case 'back': return back(page)
    case 'help':
      // The sign stands in calls as well: whoever meant it there is typing.
      page.composer.builder.typedAt = performance.now()
      page.showHelp = true
      return
    case 'too-soon': return page.composer.asking.sayTooSoon()
  }
}

/** Listens to the keys of the whole page. The result ends it. */
export function listenToKeys(page: Page): () => void {
  const down = (event: KeyboardEvent) => {
    page.horn.wake()
    const { builder } = page.composer
    const meaning = meaningOf(event, {
      at: place(event.target), letters: lettersOn(),
      quiet: performance.now() - builder.typedAt >= quietFor, amid: builder.amid,
    })
    if (meaning === null || (meaning.act === 'settle' && !page.whistle.asks)) return
    if (meaning.act === 'type') {
      // A letter that nothing else wants goes where it makes sense: to the command line.
      document.getElementById(commandId)?.focus({ preventScroll: true })
      return
    }
    // Escape closes other things as well, which listen for themselves.
    if (meaning.act !== 'back') event.preventDefault()
    if (!event.repeat || meaning.act === 'back') doIt(page, meaning, event)
  }
  const up = (event: KeyboardEvent) => {
    if (event.key === 'F8') page.horn.release()
  }
  // A key that is let go in another window is never heard of here.
  const away = () => page.horn.release()
  const touched = () => page.horn.wake()
  // After a tap the focus goes back, so that the space bar means the clock again, and not the button once more.
  const tapped = (event: MouseEvent) => {
    if (!(event.target instanceof Element)) return
    const control = event.target.closest('button, a, input, select, textarea, dialog')
    if (control && !control.matches('button')) return
    // By keys and assistive technology people stay where they are, except where the same button now does another act.
    if (event.detail === 0 && !control?.matches(returns)) return
    if (control instanceof HTMLElement) control.blur()
    if (!page.composer.asking.open && !page.showHelp && !page.showRosters && !page.showWork && !page.clock.setting && !page.clock.readingBoard) focusCommand()
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
