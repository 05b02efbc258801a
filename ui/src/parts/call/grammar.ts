// The command line of the bench, in the order in which a referee speaks:
//
//   h 12 trip                 penalty, home 12, tripping, its usual minor
//   v 4 hook double           visitors 4, hooking, double minor
//   h b too by 14             home bench, too many players, served by 14
//   v ? slash major gm !      number to follow, major and game misconduct, signalled
//   g h 12 8 5                goal, home 12 from 8 and 5
//   g v 9 - en                goal, visitors 9, unassisted, empty net
//   t h    t o                time-out: home, the officials' own
//   d injury    d ice 10      delay: counts up; counts down from ten minutes
//   k h 1    k v -            goalkeeper: home 1; the visitors' net is empty
//   n late to the ice         note
//
// "@5:13" anywhere gives the time on the clock at which it happened.

import { rostered } from '../../game/number'
import type { DelayWhy, Part, Side } from '../../base/contract/contract'
import { parseClock } from '../../base/words/format'
import { type Base, type Built, type BuiltKind, type Extra, baseAndExtras, bench, emptyBuilt, nobody, owed } from './built'

/** What the grammar knows of the game. */
export interface Vocabulary {
  calls: { id: string; name: string; usual: Part[] }[]
  teams: { side: Side; name: string; numbers: string[] }[]
}

/** A way to finish the word that is being typed: the label, and the whole line after it. */
export interface Completion {
  label: string
  line: string
}

export interface Parsed {
  built: Built
  at: string // as typed after "@"; empty: now
  unknown: string[] // words that mean nothing here
  completions: Completion[]
}

const verbs: Record<string, BuiltKind> = {
  g: 'goal', goal: 'goal', p: 'penalty', pen: 'penalty', penalty: 'penalty',
  t: 'time_out', to: 'time_out', timeout: 'time_out', n: 'note', note: 'note',
  d: 'delay', delay: 'delay', k: 'goalkeeper', gk: 'goalkeeper', keeper: 'goalkeeper',
}

const sides: Record<string, Built['side']> = {
  h: 'home', home: 'home', v: 'visitors', vis: 'visitors', visitors: 'visitors',
  o: 'officials', off: 'officials', officials: 'officials',
}

const bases: Record<string, Base> = {
  minor: 'minor', min: 'minor', double: 'double_minor', dbl: 'double_minor',
  major: 'major', maj: 'major', match: 'match', shot: 'penalty_shot', ps: 'penalty_shot',
}

const extraWords: Record<string, Extra> = {
  misc: 'misconduct', misconduct: 'misconduct', gm: 'game_misconduct', game: 'game_misconduct',
}

const delays: DelayWhy[] = ['injury', 'ice', 'equipment', 'other']

/** Reads a line as it is typed. It never fails: what it cannot read is listed. */
export function parseLine(line: string, words: Vocabulary): Parsed {
  const tokens = line.split(/\s+/).filter((token) => token !== '')
  const parsed: Parsed = { built: emptyBuilt(), at: '', unknown: [], completions: [] }
  const { built } = parsed
  if (tokens.length === 0) return parsed

  const verb = verbs[(tokens[0] ?? '').toLowerCase()]
  if (verb !== undefined) {
    Object.assign(built, emptyBuilt(verb))
    tokens.shift()
  }
  if (verb === 'note') {
    built.text = tokens.join(' ')
    return parsed
  }
  const callWords: string[] = []
  let seenParts = false
  for (let i = 0; i < tokens.length; i++) {
    const token = (tokens[i] ?? '').toLowerCase()
    if (token.startsWith('@')) {
      parsed.at = token.slice(1)
      if (parseClock(parsed.at) === null && i < tokens.length - 1) parsed.unknown.push(token)
      continue
    }
    if (built.kind === 'delay') {
      if (!readDelay(built, token)) parsed.unknown.push(token)
      continue
    }
    if (built.side === '') {
      const side = sideOf(token, words)
      if (side === '') parsed.unknown.push(token)
      else {
        built.side = side
        if (built.kind === '') Object.assign(built, emptyBuilt('penalty', side))
      }
      continue
    }
    if (built.kind === 'goal') {
      if (!readGoal(built, token)) parsed.unknown.push(token)
      continue
    }
    if (built.kind === 'goalkeeper') {
      if (isNumber(token)) built.who = token
      else if (['-', 'en', 'empty', 'nobody'].includes(token)) built.who = nobody
      else parsed.unknown.push(token)
      continue
    }
    if (built.kind === 'time_out') {
      parsed.unknown.push(token)
      continue
    }
    if (token === 'by') continue
    const by = tokens[i - 1]?.toLowerCase() === 'by' || token.startsWith('/')
    const taken = readPenalty(built, token.replace(/^\//, ''), by, seenParts)
    if (taken === 'parts') seenParts = true
    else if (taken === 'call') callWords.push(token)
    else if (taken === 'unknown') parsed.unknown.push(token)
  }
  const found = callWords.length === 0 ? [] : findCalls(callWords, words)
  const call = found[0]
  if (call) {
    built.call = call.id
    if (!seenParts) Object.assign(built, baseAndExtras(call.usual))
    if (built.who === '' && call.usual[0] === 'bench_minor') built.who = bench
  } else if (callWords.length > 0) {
    parsed.unknown.push(...callWords)
  }
  asRostered(built, words)
  parsed.completions = completionsFor(line, parsed, found, callWords, words)
  return parsed
}

/** 5 and 05 are one number: it is written as the roster does. */
function asRostered(built: Built, words: Vocabulary): void {
  const numbers = words.teams.find((team) => team.side === built.side)?.numbers ?? []
  const write = (number: string) => rostered(numbers, number)
  built.who = write(built.who)
  built.servedBy = write(built.servedBy)
  built.assists = built.assists.map(write)
}

function sideOf(token: string, words: Vocabulary): Built['side'] {
  const known = sides[token]
  if (known !== undefined) return known
  if (token.length < 3) return ''
  const fits = words.teams.filter((team) => team.name.toLowerCase().startsWith(token))
  return fits.length === 1 ? (fits[0]?.side ?? '') : ''
}

const isNumber = (token: string) => /^\d{1,2}$/.test(token)

function readGoal(built: Built, token: string): boolean {
  if (isNumber(token) || token === '?') {
    const number = token === '?' ? owed : token
    if (built.who === '') built.who = number
    else if (built.assists.length < 2) built.assists.push(number)
    else return false
    return true
  }
  switch (token) {
    case '-': case 'un': case 'unassisted': built.unassisted = true; return true
    case 'en': built.emptyNet = true; return true
    case 'ps': case 'shot': built.on = 'penalty_shot'; return true
    case 'aw': case 'awarded': built.on = 'awarded'; return true
    default: return false
  }
}

/** What play waits for by the beginning of its name, and minutes or a time. */
function readDelay(built: Built, token: string): boolean {
  const why = token.length >= 2 ? delays.find((one) => one.startsWith(token)) : undefined
  const length = isNumber(token) ? Number(token) * 60_000 : parseClock(token)
  if (why !== undefined) built.why = why
  else if (length !== null) built.length = length
  else return false
  return true
}

function readPenalty(
  built: Built, token: string, by: boolean, seenParts: boolean,
): 'done' | 'parts' | 'call' | 'unknown' {
  if (isNumber(token) || token === '?') {
    if (by) built.servedBy = token === '?' ? '' : token
    else if (built.who === '') built.who = token === '?' ? owed : token
    else return 'unknown'
    return 'done'
  }
  if (built.who === '' && (token === 'b' || token === 'bench')) {
    built.who = bench
    return 'done'
  }
  if (token === '!' || token === 'sig' || token === 'signalled') {
    built.signalled = true
    return 'done'
  }
  const base = bases[token]
  const extra = extraWords[token]
  if (base === undefined && extra === undefined) return /^[\p{L}-]+$/u.test(token) ? 'call' : 'unknown'
  if (!seenParts) Object.assign(built, { base: '', extras: [], chosen: true })
  if (base !== undefined) built.base = base
  if (extra !== undefined && !built.extras.includes(extra)) built.extras.push(extra)
  return 'parts'
}

/** The calls whose words begin with the words typed, in order; the best ones first. */
function findCalls(typed: string[], words: Vocabulary): Vocabulary['calls'] {
  const fits = (name: string) => {
    const parts = name.toLowerCase().split(/[\s/(),-]+/)
    let from = 0
    for (const word of typed.flatMap((one) => one.split('-'))) {
      const found = parts.findIndex((part, i) => i >= from && part.startsWith(word))
      if (found < 0) return -1
      from = found + 1
    }
    return parts[0]?.startsWith(typed[0] ?? '') ? 2 : 1
  }
  const scored = words.calls.map((call) => ({ call, fit: fits(call.name) }))
  return [2, 1].flatMap((fit) => scored.filter((one) => one.fit === fit).map((one) => one.call))
}

function completionsFor(
  line: string, parsed: Parsed, found: Vocabulary['calls'], callWords: string[], words: Vocabulary,
): Completion[] {
  if (/\s$/.test(line) && callWords.length === 0) return []
  const { built } = parsed
  const last = line.trimEnd().split(/\s+/).pop() ?? ''
  if (found.length > 0 && last.toLowerCase() === callWords[callWords.length - 1]) {
    const head = cutWords(line, callWords.length)
    return found.slice(0, 6).map((call) => ({ label: call.name, line: `${head}${call.name.toLowerCase()} ` }))
  }
  if (isNumber(last) && !/\s$/.test(line)) {
    const team = words.teams.find((one) => one.side === built.side)
    const head = cutWords(line, 1)
    return (team?.numbers ?? [])
      .filter((number) => number.startsWith(last) && number !== last)
      .map((number) => ({ label: number, line: `${head}${number} ` }))
  }
  return []
}

/** The line without its last `count` words, with the space before them. */
function cutWords(line: string, count: number): string {
  const kept = line.trimEnd().split(/(\s+)/)
  kept.splice(kept.length - (count * 2 - 1))
  return kept.join('')
}
