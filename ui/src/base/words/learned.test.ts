import { describe, expect, it } from 'vitest'

// A page says nothing that it did not load: whatever is opened as a part of its own brings the words of
// all that it is made of, or has them from the start.

const raw = import.meta.glob<string>(['/src/**/*.{svelte,ts}', '!/src/**/*.test.ts', '!/src/**/*.d.ts'], { query: '?raw', import: 'default', eager: true })
const files = new Map(Object.entries(raw).map(([path, text]) => [path.slice('/src/'.length), text]))
const english = import.meta.glob<Record<string, string>>('$messages/en/*.json', { import: 'default', eager: true })

/** The file that an import names; undefined for what is not ours. */
function found(from: string, name: string): string | undefined {
  const { pathname } = new URL(name, `file:///${from}`)
  return name.startsWith('.') ? [pathname.slice(1), `${pathname.slice(1)}.ts`].find((one) => files.has(one)) : undefined
}

const list = (from: string, pattern: RegExp) => [...(files.get(from) ?? '').matchAll(pattern)].map((one) => found(from, one[1] ?? '')).filter((one) => one !== undefined)
const together = (from: string) => list(from, /^\s*(?:import(?! type)|export) (?:[^'()]*? from )?'([^']+)'/gm)
const apart = (from: string) => list(from, /import\('([^']+)'\)/g)

/** All files that come with one. */
function closure(of: string, seen = new Set<string>()): Set<string> {
  if (seen.has(of)) return seen
  seen.add(of)
  for (const one of together(of)) closure(one, seen)
  return seen
}

/** The catalogue of each key of the screens. */
const catalogue = new Map(Object.entries(english).flatMap(([path, texts]) => {
  const keys = Object.keys(texts).filter((key) => key.startsWith('ui.'))
  return keys.map((key) => [key.slice(3).replace(/#.*/, ''), path.split('/').at(-1) ?? ''] as const)
}))
const said = (path: string) => [...(files.get(path) ?? '').matchAll(/'([a-z_]+(?:\.[a-z_0-9]+)+)'/g)].flatMap((one) => {
  const name = catalogue.get(one[1] ?? '')
  return name === undefined ? [] : [[one[1] ?? '', name] as const]
})
const brings = (path: string) => [...(files.get(path) ?? '').matchAll(/^import \w+ from '\$messages\/en\/(.+)'/gm)].map((one) => one[1])

describe('the words of a page', () => {
  const entries = [...new Set([...files.keys()].flatMap(apart))].filter((path) => path.endsWith('.svelte'))

  it.each(entries)('come with %s', (entry) => {
    const parts = [...closure(entry), ...closure('main.ts')]
    const there = new Set(parts.flatMap(brings))
    expect(parts.flatMap((path) => said(path).filter(([, name]) => !there.has(name)).map(([key, name]) => `${path} says ${key} of ${name}`))).toEqual([])
  })
})
