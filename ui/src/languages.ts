import type { Languages } from './base/words/language'

// What the screens say, of every language but English, each file a part of its own: a page loads
// those of its language and no others.
const files = import.meta.glob<Record<string, string>>(
  ['$messages/*/{announce,book,card,console,consolesay,copy,crew,division,drill,opened,paper,practice,program,progress,report,rink,rules,seat,setup,site,start,ui,watching}.json', '!$messages/en/*'],
  { import: 'default' },
)

const of = (path: string): string => path.split('/').at(-2) ?? ''

export const languages: Languages = {
  tags: [...new Set(Object.keys(files).map(of))].sort(),
  async load(tag) {
    const parts = await Promise.all(Object.entries(files).filter(([path]) => of(path) === tag).map(([, load]) => load()))
    return Object.assign({}, ...parts) as Record<string, string>
  },
}
