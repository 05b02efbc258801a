import './start'
import { afterEach, expect, test, vi } from 'vitest'
import { best, inLanguage, languages, languageName, openLanguage } from './language'
import { callName, dateLanguage, language, say, speak, t } from './words'
import './book'
import './crew'
import './division'
import './practice'
import './progress'
import './rink'
import './seat'
import './site'

const files = import.meta.glob<Record<string, string>>('$messages/en/*.json', { eager: true, import: 'default' })
const english: Record<string, string> = Object.assign({}, ...Object.values(files))

/** A made-up language: every English text with its letters changed and its gaps kept. */
function changed(text: string): string {
  return text.replace(/\{\w+\}|[a-z]/gi, (found) => (found.length > 1 ? found : String.fromCodePoint(0x391 + (found.toLowerCase().charCodeAt(0) % 17))))
}
const quay = Object.fromEntries(Object.entries(english).map(([key, text]) => [key, changed(text)]))
const from = { tags: ['fi', 'fr-CA', 'art-x-quay'], load: (tag: string) => (tag === 'art-x-quay' ? Promise.resolve(quay) : Promise.reject(new Error('it does not come'))) }

function device(chosen: string | null): void {
  vi.stubGlobal('localStorage', { getItem: () => chosen, setItem: () => undefined })
}
afterEach(() => {
  speak('en', {})
  vi.unstubAllGlobals()
})

test('the first language wanted that there is', () => {
  const asked = (...wanted: string[]) => best(wanted, from.tags)
  expect(asked()).toBe('en')
  expect(asked('', '-', 'C', 'tlh')).toBe('en')
  expect(asked('fi-FI')).toBe('fi')
  expect(asked('FR-ca-x-quebec', 'fi')).toBe('fr-CA')
  expect(asked('fr-BE', 'fi')).toBe('fi')
  expect(asked('en-GB', 'fi')).toBe('en')
})

test('a page speaks what its browser wants, or what was chosen on the device', async () => {
  device(null)
  await openLanguage(from, ['tlh', 'art-x-quay', 'en'])
  expect([language(), dateLanguage(), t('start.heading')]).toEqual(['art-x-quay', 'art-x-quay', quay['ui.start.heading']])
  expect(languages()).toEqual(['en', ...from.tags])
  expect(inLanguage('/a?b=c')).toBe('/a?b=c&language=art-x-quay')
  speak('en', {})
  device('art-x-quay')
  await openLanguage(from, ['en'])
  expect(language()).toBe('art-x-quay')
  speak('en', {})
  device('en')
  await openLanguage(from, ['art-x-quay'])
  expect([language(), t('start.heading')]).toEqual(['en', english['ui.start.heading']])
})

test('a language that does not come is English', async () => {
  device(null)
  await openLanguage(from, ['fi'])
  expect([language(), dateLanguage(), t('start.heading')]).toEqual(['en', 'en-GB', english['ui.start.heading']])
})

test('no English is left on a page that speaks another language', () => {
  speak('art-x-quay', quay)
  const left: string[] = []
  for (const key of Object.keys(english)) {
    if (key.includes('#')) continue
    const shown = key.startsWith('ui.') ? t(key.slice(3) as Parameters<typeof t>[0]) : say({ key })
    if (/[A-Za-z]{2}/.test(shown.replace(/\{\w+\}/g, ''))) left.push(`${key}: ${shown}`)
  }
  expect(left).toEqual([])
  expect(callName('tripping')).toBe(quay['call.tripping'])
})

test('what a language has no text for is said in English, with the forms of English', () => {
  speak('fi', { 'ui.start.heading': 'Otteluita' })
  expect(t('start.heading')).toBe('Otteluita')
  expect(t('pending.kept', { count: 1 })).toBe('1 entry kept here: not at the bench yet')
})

test('a language is named in itself', () => {
  expect(languageName('fi')).toBe('suomi')
  expect(languageName('no tag')).toBe('no tag')
})
