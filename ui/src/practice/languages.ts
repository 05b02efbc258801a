import type { Languages } from '../base/words/language'
import { readScript } from './engine'

declare global {
  /** What the file of a language leaves behind: its texts by their keys. */
  var whistlestopWords: Record<string, string> | undefined
}

/** The file of a language, which only a page that speaks it loads. */
export const languageFile = (tag: string): string => `words-${tag}.js`

/** The languages of the site: the build writes into the page which there are. */
export const languages: Languages = {
  tags: (document.documentElement.dataset['languages'] ?? '').split(' ').filter((tag) => tag !== ''),
  load: (tag) => readScript(languageFile(tag), () => globalThis.whistlestopWords),
}
