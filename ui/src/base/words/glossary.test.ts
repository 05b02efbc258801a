import { describe, expect, it } from 'vitest'
import glossary from '../../../../docs/glossary.md?raw'

// Every label of the bench, the seats and the Wall stands in docs/glossary.md with what it means, and
// nothing stands there that is on no screen any more.

const raw = import.meta.glob<string>([
  '/src/screens/{bench,seat,box,wall}/**/*.{svelte,ts}', '/src/parts/**/*.{svelte,ts}', '/src/game/**/*.{svelte,ts}', '/src/base/**/*.{svelte,ts}',
  '!/src/parts/{division,season}/**', '!/src/game/copies/{EndNames,HubLink,Proposals,TakeOver,Withdraw}.svelte', '!/src/**/*.test.ts', '!/src/base/words/!(game).ts',
], { query: '?raw', import: 'default', eager: true })
const files = import.meta.glob<Record<string, string>>('$messages/en/*.json', { import: 'default', eager: true })
const english = Object.assign({}, ...Object.values(files)) as Record<string, string>

// What is pressed, and what stands above it.
const controls = /<(button|a|summary|label|option|h[1-3])\b[\s\S]*?<\/\1\s*>|<b class="word">[\s\S]*?<\/b>|(?:label|heading|holder)=\{t\('[^']+'\)\}/g
// What is written on a control by a file without one.
const elsewhere = /'((?:post|edge|next|owed)\.[a-z_.]+)'/g
const writers = /acts\.ts$|Sentence\.svelte$|words\/game\.ts$/
const watched = /screens\/wall\/|DueCards\.svelte$/ // nothing is pressed there; all that it says is looked at

/** The keys of what a file writes on controls. */
function keysOf(path: string, text: string): string[] {
  const shown = text.replace(/<style>[\s\S]*<\/style>/, '')
  const template = shown.replace(/<script[\s\S]*?<\/script>/, '')
  const said = watched.test(path) ? shown : [...template.matchAll(controls)].map(([all]) => all.replace(/aria-label=\{(?:[^{}]|\{[^{}]*\})*\}/g, '')).join('\n')
  const named = [...said.matchAll(/'([a-z_]+(?:\.[a-z_0-9]+)*)'/g)].map((one) => `ui.${one[1] ?? ''}`)
  const made = [...said.matchAll(/\bt\([^`()]*`([^`]+)`/g)].flatMap((one) => {
    const like = new RegExp(`^ui\\.${(one[1] ?? '').replaceAll('.', '\\.').replace(/\$\{[^}]*\}/g, '[a-z_]+')}$`)
    return Object.keys(english).filter((key) => like.test(key))
  })
  const acts = writers.test(path) ? [...shown.matchAll(elsewhere)].map((one) => `ui.${one[1] ?? ''}`) : []
  return [...named, ...made, ...acts].filter((key) => key in english)
}

const mostWords = 7 // more of them are a sentence, which says what it means by itself
const plain = (text: string) => text.replace(/\{[^}]+\}/g, '…').replace(/:$/, '')
const labels = new Map(Object.entries(raw).flatMap(([path, text]) => keysOf(path, text).map((key) => [plain(english[key] ?? ''), key] as const))
  .filter(([text]) => text.split(/\s+/).length <= mostWords && !text.endsWith('.') && /[a-z]{2}/i.test(text)))
const section = /\n## On the screens\n([\s\S]*?)(?=\n## |$)/.exec(glossary)?.[1] ?? ''
const listed = new Set([...section.matchAll(/\*\*(.+?)\*\*/g)].map((one) => one[1] ?? ''))

describe('the glossary', () => {
  it('has every label of the bench, the seats and the Wall', () => {
    expect(labels.size).toBeGreaterThan(150)
    expect([...labels].filter(([text]) => !listed.has(text)).map(([text, key]) => `${text} (${key})`)).toEqual([])
  })

  it('has no label that is on no screen', () => {
    expect([...listed].filter((text) => !labels.has(text))).toEqual([])
  })
})
