import { readFileSync, readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** Where the pages of the stories are kept. */
export const storyFolder = join(dirname(fileURLToPath(import.meta.url)), '../../docs/stories')

/** One thing that the volunteer does: it counts as one tap. */
export interface Step {
  verb: 'Tap' | 'Type' | 'Press'
  what: string // the words on the control, what is typed, or the key
}

/** One way to put it right, with the taps that the page allows. */
export interface Way {
  name: string
  most: number
  steps: Step[]
}

/** What a page of docs/stories says. */
export interface Story {
  name: string
  title: string
  ways: Way[]
  says: string[] // what the screen says, a paragraph each
  picture: string // the file beside the page
}

/** The names of all pages, in order. */
export function storyNames(): string[] {
  return readdirSync(storyFolder).filter((file) => /^\d\d-.*\.md$/.test(file)).map((file) => file.slice(0, -3)).sort()
}

/**
 * Reads a page. Its ways stand under headings such as "### By touch: 4 taps",
 * each step is a numbered line ("1. Tap **Amend**..."), and what the screen says
 * is quoted. A page that cannot be read stops the test.
 */
export function readStory(name: string): Story {
  const lines = readFileSync(join(storyFolder, `${name}.md`), 'utf8').split('\n')
  const title = /^# (.+)$/.exec(lines[0] ?? '')?.[1]
  const ways: Way[] = []
  const says: string[] = []
  let picture = ''
  for (const line of lines) {
    const [, way, most] = /^### (.+): (\d+) taps?$/.exec(line) ?? []
    if (way) ways.push({ name: way, most: Number(most), steps: [] })
    if (/^\d+\. /.test(line)) ways.at(-1)?.steps.push(readStep(line))
    if (line.startsWith('> ')) says.push(line.slice(2).trim())
    picture = /^!\[.+\]\((.+)\)$/.exec(line)?.[1] ?? picture
  }
  if (!title || ways.length === 0 || says.length === 0 || picture === '') throw new Error(`not the page of a story: ${name}`)
  return { name, title, ways, says, picture }
}

function readStep(line: string): Step {
  const [, tap] = /^\d+\. Tap (?:the )?\*\*(.+?)\*\*/.exec(line) ?? []
  if (tap) return { verb: 'Tap', what: tap }
  const [, typed] = /^\d+\. Type `(.+?)`/.exec(line) ?? []
  if (typed) return { verb: 'Type', what: typed }
  const [, key] = /^\d+\. Press \*\*(.+?)\*\*/.exec(line) ?? []
  if (key) return { verb: 'Press', what: key }
  throw new Error(`nothing that a hand does: ${line}`)
}
