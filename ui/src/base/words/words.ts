import type { Say } from '../contract/contract'
import card from '$messages/en/card.json'
import type bookTexts from '$messages/en/book.json'
import type consoleTexts from '$messages/en/console.json'
import type crew from '$messages/en/crew.json'
import type devices from '$messages/en/devices.json'
import type desk from '$messages/en/deskpage.json'
import type division from '$messages/en/division.json'
import type mine from '$messages/en/minepage.json'
import type practice from '$messages/en/practice.json'
import type progress from '$messages/en/progress.json'
import type rink from '$messages/en/rink.json'
import type season from '$messages/en/seasonpage.json'
import type seat from '$messages/en/seat.json'
import type opened from '$messages/en/opened.json'
import type setup from '$messages/en/setup.json'
import type pocket from '$messages/en/pocket.json'
import type site from '$messages/en/site.json'
import type start from '$messages/en/start.json'
import type hub from '$messages/en/hubpage.json'
import type hubLink from '$messages/en/hublink.json'
import type watching from '$messages/en/watching.json'
import ui from '$messages/en/ui.json'
import program from '$messages/en/program.json'
import rules from '$messages/en/rules.json'

/** The key of a text of the screens. A key that does not exist does not compile. */
export type Key = keyof typeof ui | keyof typeof opened | keyof typeof setup | keyof typeof watching | keyof typeof hub | keyof typeof hubLink | keyof typeof season | keyof typeof seat | keyof typeof crew | keyof typeof desk | keyof typeof mine | keyof typeof division | keyof typeof bookTexts | keyof typeof site | keyof typeof pocket | keyof typeof devices | keyof typeof start | keyof typeof rink | keyof typeof consoleTexts | keyof typeof practice | keyof typeof progress extends `ui.${infer Name}` ? Name : never

type Args = Record<string, string | number>

const screens: Record<string, string> = { ...ui }
const book: Record<string, string> = { ...card, ...program, ...rules }

const english = 'en'

/** The language of the page beside English, whose words are there in any case. */
let other: { tag: string; texts: Record<string, string> } | undefined
let plural = new Intl.PluralRules(english)

/** The language of the page, as a tag of BCP 47. */
export function language(): string {
  return other?.tag ?? english
}

/** The language as the browser writes days and times in it. */
export function dateLanguage(): string {
  return other?.tag ?? 'en-GB' // day before month, and 24 hours
}

/** The texts of the page's language; undefined for English. */
export function otherTexts(): Record<string, string> | undefined {
  return other?.texts
}

/** Speaks a language from now on. What it has no text for is said in English. */
export function speak(tag: string, texts: Record<string, string>): void {
  other = tag === english ? undefined : { tag, texts }
  plural = rulesOf(tag)
  if (typeof document !== 'undefined') document.documentElement.lang = tag
}

function rulesOf(tag: string): Intl.PluralRules {
  try {
    return new Intl.PluralRules(tag)
  } catch {
    return new Intl.PluralRules(english) // no tag that a browser reads
  }
}

/** The text of a key in the page's language; in English where it has none. */
function textOf(own: Record<string, string>, key: string, args?: Args): string | undefined {
  return (other && formOf(other.texts, key, args)) ?? formOf(own, key, args)
}

/** Takes the texts of screens that are not loaded with every page. */
export function learn(texts: Record<string, string>): void {
  Object.assign(screens, texts)
}

/** Takes sentences of the rules that are not loaded with every page. */
export function learnSays(texts: Record<string, string>): void {
  Object.assign(book, texts)
}

/** A text of the screens with its gaps filled. */
export function t(key: Key, args?: Args): string {
  return fill(textOf(screens, `ui.${key}`, args) ?? key, args)
}

/** A text of the screens by a key that is put together; `otherwise` where there is none. */
export function tOf(key: string, otherwise = '', args?: Args): string {
  const found = textOf(screens, `ui.${key}`, args)
  return found === undefined ? otherwise : fill(found, args)
}

/** A sentence of the rules in words. An unknown key is shown as it is: better than nothing. */
export function say(words: Say): string {
  return fill(textOf(book, words.key, words.args) ?? words.key, words.args)
}

/** Several sentences after one another, none twice in a row. */
export function sayAll(list: Say[]): string {
  return list.map(say).filter((text, i, all) => text !== all[i - 1]).join(' ')
}

/** The name of a call of the division's code, such as "Tripping". */
export function callName(id: string): string {
  return id === '' ? '' : capital(named(`@call.${id}`))
}

/**
 * The text of a key, in the form of the number that it counts. Forms stand beside the
 * text as key#gap=category, with the categories that CLDR has for the language.
 */
export function formOf(texts: Record<string, string>, key: string, args: Args = {}): string | undefined {
  for (const [gap, value] of Object.entries(args)) {
    if (!/^\d+$/.test(String(value))) continue
    const form = texts[`${key}#${gap}=${plural.select(Number(value))}`]
    if (form !== undefined) return form
  }
  return texts[key]
}

/** Fills the gaps, written {name}. A gap that nothing fills stays visible. */
function fill(text: string, args: Args = {}): string {
  return text.replace(/\{(\w+)\}/g, (gap, name: string) => {
    const value = args[name]
    return value === undefined ? gap : named(String(value))
  })
}

/** An argument that begins with "@" is itself a key; a call that nobody knows is shown as written. */
function named(value: string): string {
  if (!value.startsWith('@')) return value
  const key = value.slice(1)
  return other?.texts[key] ?? book[key] ?? key.slice(key.indexOf('.') + 1).replaceAll('_', ' ')
}

/** The name of one part of a call, or of a double minor. */
export function partName(part: string): string {
  return capital(part === 'double_minor' ? named('@parts.minor_minor') : named(`@part.${part}`))
}

/** A word at the beginning of a line. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
