import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const games = join(dirname(fileURLToPath(import.meta.url)), '../games')

/** Who sits in a box: number, time left, and whether the side plays short for it. */
export interface Sitting {
  number: string
  left: string
  short: boolean
}

/** What the Wall says. A null is not looked at. */
export interface Wall {
  clock: string | null
  score: [string, string]
  ice: [string, string] | null
  box: [Sitting[], Sitting[]]
}

export interface Call {
  side: 'home' | 'visitors'
  number: string
  call: string
  length: 'minor' | 'double_minor' | 'major'
}

export type Deed =
  | { do: 'begin'; stage: string }
  | { do: 'play'; to: string }
  | { do: 'goal'; side: 'home' | 'visitors'; scorer: string; assists: string[] }
  | { do: 'penalty'; calls: Call[] }

/** One line of a game: what happens, and what the Wall must say after it. */
export interface Step {
  line: string
  deed: Deed
  wall: Wall
  rule: string
}

/** Reads a game from its table. A line that cannot be read stops the test. */
export function readGame(name: string): Step[] {
  return readFileSync(join(games, `${name}.txt`), 'utf8')
    .split('\n')
    .filter((line) => line.trim() !== '' && !line.startsWith('#'))
    .map((line) => {
      const cells = line.split('|').map((cell) => cell.trim())
      const [what, clock, score, ice, home, visitors, rule] = cells
      if (cells.length !== 7 || !what || !clock || !score || !ice || !home || !visitors) {
        throw new Error(`not a line of a game: ${line}`)
      }
      return {
        line: what,
        deed: readDeed(what),
        wall: {
          clock: clock === '*' ? null : clock,
          score: pair(score),
          ice: ice === '*' ? null : pair(ice),
          box: [readBox(home), readBox(visitors)],
        },
        rule: rule ?? '',
      }
    })
}

function pair(text: string): [string, string] {
  const [home, visitors] = text.split(':')
  if (!home || !visitors) throw new Error(`not a pair: ${text}`)
  return [home, visitors]
}

function readBox(text: string): Sitting[] {
  if (text === '-') return []
  return text.split(',').map((one) => {
    const found = /^(\()?(\d+) (\d+:\d\d)\)?$/.exec(one.trim())
    if (!found?.[2] || !found[3]) throw new Error(`not a player in the box: ${one}`)
    return { number: found[2], left: found[3], short: !found[1] }
  })
}

function readDeed(text: string): Deed {
  const [verb, ...words] = text.split(/\s+/)
  const rest = words.join(' ')
  switch (verb) {
    case 'begin':
      return { do: 'begin', stage: rest }
    case 'play':
      return { do: 'play', to: rest }
    case 'goal': {
      const [side, scorer, ...assists] = words
      if (!isSide(side) || !scorer) throw new Error(`not a goal: ${text}`)
      return { do: 'goal', side, scorer, assists }
    }
    case 'penalty':
      return { do: 'penalty', calls: rest.split('&').map((one) => readCall(one.trim())) }
    default:
      throw new Error(`nothing that happens in a game: ${text}`)
  }
}

function readCall(text: string): Call {
  const [side, number, call, length = 'minor'] = text.split(/\s+/)
  if (!isSide(side) || !number || !call) throw new Error(`not a penalty: ${text}`)
  if (length !== 'minor' && length !== 'double_minor' && length !== 'major') throw new Error(`no such length: ${text}`)
  return { side, number, call, length }
}

function isSide(text: string | undefined): text is 'home' | 'visitors' {
  return text === 'home' || text === 'visitors'
}
