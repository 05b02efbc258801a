/** What a key of the bench does. */
export type KeyAct =
  | 'clock' | 'correct' | 'stage' | 'more' | 'post' | 'collect' | 'settle' | 'undo' | 'redo' | 'horn'
  | 'shot-home' | 'shot-visitors' | 'tick' | 'check' | 'back' | 'help'

/** How long the empty command line has to be left alone until the space bar means the clock, in milliseconds. */
export const quietFor = 1500

/**
 * The one table of keys: what is shown on the buttons, in the help and in
 * docs/keys.md, each with its name for assistive technology. Its order is that
 * of a game.
 */
export const keyTable: Record<KeyAct, { shown: string; aria: string }> = {
  clock: { shown: 'F2', aria: 'F2 Space' },
  correct: { shown: 'Shift F2', aria: 'Shift+F2' },
  stage: { shown: 'F4', aria: 'F4' },
  more: { shown: 'Shift F4', aria: 'Shift+F4' },
  post: { shown: 'Enter', aria: 'Enter' },
  collect: { shown: ';', aria: ';' },
  back: { shown: 'Esc', aria: 'Escape' },
  settle: { shown: 'Alt 1', aria: 'Alt+1' },
  undo: { shown: 'Ctrl Z', aria: 'Control+Z' },
  redo: { shown: 'Ctrl Y', aria: 'Control+Y' },
  horn: { shown: 'F8', aria: 'F8' },
  'shot-home': { shown: ',', aria: ',' },
  'shot-visitors': { shown: '.', aria: '.' },
  tick: { shown: 'F9', aria: 'F9' },
  check: { shown: 'Shift F9', aria: 'Shift+F9' },
  help: { shown: '?', aria: '?' },
}

/** Where the focus is, as far as the keys care. */
export type Place = 'command' | 'command-empty' | 'field' | 'control' | 'page'

/** A key that goes down, as the browser tells it. */
export type Press = Pick<KeyboardEvent, 'key' | 'code' | 'ctrlKey' | 'metaKey' | 'altKey' | 'shiftKey'>

/** What a key finds when it goes down. */
export interface Found {
  at: Place
  letters: boolean // single letters and signs work as shortcuts
  quiet: boolean // nobody typed into the command line a moment ago
  amid: boolean // calls were typed and are kept, and the next one is being typed
}

/** What a key means there. */
export type Meaning =
  | { act: Exclude<KeyAct, 'settle'> }
  | { act: 'settle'; digit: string }
  | { act: 'too-soon' } // the space bar in a line that was typed into a moment ago
  | { act: 'type' } // a letter that nothing else wants: it belongs into the command line

/**
 * What a key means; null: it is left to whatever has the focus. Nothing that is
 * part of a call, letters, digits, signs or the space between them, moves the
 * clock, begins a stage or answers a question: those have keys that no call has.
 */
export function meaningOf(press: Press, found: Found): Meaning | null {
  const { key, code } = press
  const bare = !press.ctrlKey && !press.metaKey && !press.altKey
  const { at } = found
  // Only a line that nobody is in the middle of leaves its keys to other acts.
  const free = (at === 'page' || at === 'command-empty') && !found.amid
  if (bare && key === 'F2') return { act: press.shiftKey ? 'correct' : 'clock' }
  if (bare && key === 'F4') return { act: press.shiftKey ? 'more' : 'stage' }
  if (bare && key === 'F8') return { act: 'horn' }
  if (bare && key === 'F9') return { act: press.shiftKey ? 'check' : 'tick' }
  if (key === 'Escape') return { act: 'back' }
  // By the place of the key: with Alt some keyboards make another sign of a digit.
  const digit = /^Digit([1-9])$/.exec(code)?.[1]
  if (digit !== undefined && press.altKey && !press.ctrlKey && !press.metaKey && at !== 'field') return { act: 'settle', digit }
  if ((press.ctrlKey || press.metaKey) && /^[zy]$/i.test(key) && (at === 'page' || at === 'command-empty' || at === 'control')) {
    return { act: key.toLowerCase() === 'y' || press.shiftKey ? 'redo' : 'undo' }
  }
  if (!bare) return null
  if (code === 'Space' && (at === 'page' || at === 'command-empty')) return { act: free && found.quiet ? 'clock' : 'too-soon' }
  if (key === 'Enter' && at === 'page') return { act: 'post' }
  if (found.letters && free && key === ',') return { act: 'shot-home' }
  if (found.letters && free && key === '.') return { act: 'shot-visitors' }
  if (found.letters && key === '?' && (free || at === 'control')) return { act: 'help' }
  if (found.letters && (at === 'page' || at === 'control') && key.length === 1 && key !== ' ') return { act: 'type' }
  return null
}
