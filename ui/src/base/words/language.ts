import { language, speak } from './words'

/** The languages that a page can load, beside English, which it has. */
export interface Languages {
  readonly tags: readonly string[]
  /** The texts of a language by their keys. Rejects where they do not come. */
  load(tag: string): Promise<Record<string, string>>
}

const setting = 'whistlestop-language'
const english = 'en'

/** The languages of this page, English first. */
let known: readonly string[] = [english]

export function languages(): readonly string[] {
  return known
}

/**
 * The first language wanted that there is; English otherwise. A tag that is more exact than what there
 * is takes what is left of it without its end: "de-AT" takes "de" (RFC 4647, as the program does it).
 */
export function best(wanted: readonly string[], tags: readonly string[]): string {
  for (const one of wanted) {
    for (let tag = one.trim().toLowerCase(); tag !== ''; tag = shorter(tag)) {
      const found = [...tags, english].find((there) => there.toLowerCase() === tag)
      if (found !== undefined) return found
    }
  }
  return english
}

function shorter(tag: string): string {
  return tag.replace(/(-[a-z0-9])?-?[^-]*$/, '')
}

/**
 * Speaks the language that was chosen on this device, or else the first of the browser's that there is.
 * To be done before a screen is opened. A language that does not come is English: the page works.
 */
export async function openLanguage(from: Languages, wanted: readonly string[] = navigator.languages): Promise<void> {
  known = [english, ...from.tags]
  const chosen = kept()
  const tag = best(chosen === '' ? wanted : [chosen], from.tags)
  if (tag === english) return
  const texts = await from.load(tag).catch(() => undefined)
  if (texts) speak(tag, texts)
}

/** Chooses a language for this device. The page has to be loaded again. */
export function chooseLanguage(tag: string): void {
  try {
    localStorage.setItem(setting, tag)
  } catch {
    // A browser that keeps nothing goes by its own languages.
  }
}

function kept(): string {
  try {
    return localStorage.getItem(setting) ?? ''
  } catch {
    return ''
  }
}

/** The name of a language in itself, such as "suomi". */
export function languageName(tag: string): string {
  try {
    return new Intl.DisplayNames([tag], { type: 'language' }).of(tag) ?? tag
  } catch {
    return tag
  }
}

/** An address with the page's language: a link brings no header of ours. English is said only where others are known. */
export function inLanguage(address: string): string {
  if (known.length < 2) return address
  return `${address}${address.includes('?') ? '&' : '?'}language=${language()}`
}
