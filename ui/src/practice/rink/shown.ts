import type { Boxed, Cue, Jersey, Say, Side, Speaker } from '../../base/contract/contract'
import { callName, tOf } from '../../base/words/words'
import { stretchOf } from './track'

/** What the strip above the ice says of the game, as the last part of a message's key. */
export type Standing =
  | 'before' | 'line_up' | 'play' | 'arm' | 'whistle' | 'goal' | 'no_goal' | 'runs_out' | 'break_over' | 'end'

/** How the game stands at a cue, and the cue that made it so. */
export function standingAt(cues: Cue[], cue: number): { standing: Standing; cue: number } {
  for (let i = cue; i >= 0; i--) {
    const standing = standingOf(cues[i])
    if (standing) return { standing, cue: i }
  }
  return { standing: 'before', cue: -1 }
}

function standingOf(cue: Cue | undefined): Standing | undefined {
  switch (cue?.kind) {
    case 'line_up': return 'line_up'
    case 'drop': return 'play'
    case 'arm': return 'arm'
    case 'whistle': return 'whistle'
    case 'runs_out': return 'runs_out'
    case 'break_over': return 'break_over'
    case 'end': return 'end'
    case 'signal': return cue.signal === 'goal' || cue.signal === 'no_goal' ? cue.signal : undefined
    default: return undefined
  }
}

/** A signal of the referee: its id, whose side it is about, and what is imposed, once it was said. */
export interface Signalled {
  signal: string
  side: Side | ''
  parts: string
  cue: number
}

/** What a signal is called: a word of the referee's, or the name of a call. */
export function signalName(signal: string): string {
  return tOf(`rink.signal.${signal}`, callName(signal))
}

/** The newest signal of the stoppage, or of the play, to which a cue belongs. */
export function signalAt(cues: Cue[], cue: number): Signalled | undefined {
  const from = stretchOf(cues, cue)
  for (let i = cue; i >= from; i--) {
    const one = cues[i]
    if ((one?.kind !== 'signal' && one?.kind !== 'arm') || !one.signal) continue
    let parts = ''
    for (let said = i + 1; said <= cue && cues[said]?.kind !== 'signal'; said++) {
      parts ||= String(cues[said]?.say?.args?.['parts'] ?? '')
    }
    return { signal: one.signal, side: one.side ?? '', parts, cue: i }
  }
  return undefined
}

/** Something that was said to the bench. */
export interface Heard {
  cue: number
  by: Speaker
  side: Side | ''
  say: Say
  /** It can be said again, and clearer. */
  mumbled: boolean
}

/**
 * What was said last, the newest first: it stays until something else is said.
 * What was said just before stays too, while it is the same stoppage: two people
 * may speak at once.
 */
export function heardAt(cues: Cue[], cue: number, asked: Set<number>): Heard[] {
  const list: Heard[] = []
  const from = stretchOf(cues, cue)
  for (let i = cue; i >= 0 && list.length < 2; i--) {
    const one = cues[i]
    if (!one?.say || !one.by) continue
    if (list.length > 0 && i < from) break
    const again = one.repeat && asked.has(i)
    list.push({
      cue: i, by: one.by, side: one.side ?? '', mumbled: one.repeat !== undefined && !again,
      say: again ? one.repeat ?? one.say : one.say,
    })
  }
  return list
}

/** Whom the newest words name, or who sits down: the picture shows their numbers. */
export function namedAt(cues: Cue[], cue: number, asked: Set<number>): { side: Side; number: Jersey }[] {
  const from = stretchOf(cues, cue)
  for (let i = cue; i >= from; i--) {
    const one = cues[i]
    if (!one?.side || (one.kind !== 'words' && one.kind !== 'sits')) continue
    const { side } = one
    const heard = asked.has(i) ? String(one.repeat?.args?.['player'] ?? '') : ''
    const numbers = [one.player || (heard.startsWith('@') ? '' : heard), ...(one.assists ?? [])]
    return numbers.filter((number) => number !== '').map((number) => ({ side, number }))
  }
  return []
}

/** Somebody behind a door of the box. */
export interface Sitting {
  side: Side
  number: Jersey
}

/**
 * Who sits in a side's box: those who have time to serve, and those whose time is
 * over and whom nobody has told yet. They look alike, and stand in the order of
 * their numbers, so that the learner has to know who may leave.
 */
export function sittingIn(side: Side, box: Boxed[], released: Boxed[], out: Set<string>): Sitting[] {
  const numbers = new Set<Jersey>()
  for (const one of [...box, ...released]) {
    if (one.side === side && one.sits !== '' && !out.has(`${side} ${one.sits}`)) numbers.add(one.sits)
  }
  return [...numbers].sort((a, b) => Number(a) - Number(b)).map((number) => ({ side, number }))
}
