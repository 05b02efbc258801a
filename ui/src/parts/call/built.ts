import type {
  About, AmendedBody, DelayBody, DelayWhy, Division, GoalBody, GoalkeeperBody, GoalOn, Line, OnIce, Part, PenaltyBody, Side, TimeOutBody,
} from '../../base/contract/contract'

/** What can be built. */
export type BuiltKind = 'goal' | 'penalty' | 'time_out' | 'delay' | 'goalkeeper' | 'note'

/** The first part of a call; a double minor is two minors. */
export type Base = 'minor' | 'double_minor' | 'major' | 'match' | 'penalty_shot'

/** What can be imposed on top of it, or alone. */
export type Extra = 'misconduct' | 'game_misconduct'

/** Stands in the place of a number that is still to follow. */
export const owed = 'owed'
/** Stands in the place of a number for a penalty of the whole bench. */
export const bench = 'bench'
/** Stands in the place of a goalkeeper's number: the net is empty. */
export const nobody = 'nobody'

/**
 * One call as far as it is built. Every answer may be missing: half a call is
 * accepted, and what is missing is owed.
 */
export interface Built {
  kind: BuiltKind | ''
  side: Side | 'officials' | '' // officials: for a time-out that is their own
  who: string // the number, "bench", "owed", "nobody", or empty while nobody said
  call: string
  base: Base | ''
  extras: Extra[]
  chosen: boolean // the parts were chosen by hand, and a call must not change them
  lengths: number[] | null // lengths of the parts where the referee gave others, milliseconds
  servedBy: string // the number, or empty
  signalled: boolean
  assists: string[] // numbers, or "owed"
  unassisted: boolean
  on: GoalOn
  emptyNet: boolean
  ownGoal: boolean
  onIce: OnIce | null // who was on the ice, where it was said
  text: string
  about: About // of a note
  why: DelayWhy | '' // what play waits for
  length: number // of a time-out that is amended, 0: the division's; of a delay, 0: it counts up
}

export function emptyBuilt(kind: BuiltKind | '' = '', side: Built['side'] = ''): Built {
  return {
    kind, side, who: '', call: '', base: kind === 'penalty' ? 'minor' : '', extras: [],
    chosen: false, lengths: null, servedBy: '', signalled: false, assists: [], unassisted: false,
    on: '', emptyNet: false, ownGoal: false, onIce: null, text: '', about: '', why: '', length: 0,
  }
}

/** The parts of a call in the order in which they are imposed. */
export function partsOf(built: Built): Part[] {
  const minor: Part = built.who === bench ? 'bench_minor' : 'minor'
  const parts: Part[] = []
  if (built.base === 'minor') parts.push(minor)
  else if (built.base === 'double_minor') parts.push(minor, minor)
  else if (built.base !== '') parts.push(built.base)
  for (const extra of ['misconduct', 'game_misconduct'] as const) {
    if (built.extras.includes(extra)) parts.push(extra)
  }
  return parts
}

/** The same from a list of parts, as a call usually has them or an entry says. */
export function baseAndExtras(parts: Part[]): Pick<Built, 'base' | 'extras'> {
  const minors = parts.filter((part) => part === 'minor' || part === 'bench_minor').length
  const other = parts.find((part) => part === 'major' || part === 'match' || part === 'penalty_shot')
  const extras = (['misconduct', 'game_misconduct'] as const).filter((part) => parts.includes(part))
  if (other) return { base: other as Base, extras }
  return { base: minors > 1 ? 'double_minor' : minors === 1 ? 'minor' : '', extras }
}

/** How long the parts of a call are together in this division, milliseconds. */
export function lengthOf(parts: Part[], division: Division): number {
  const { lengths } = division
  let sum = 0
  for (const part of parts) {
    if (part === 'minor') sum += lengths.minor_ms
    else if (part === 'bench_minor') sum += lengths.bench_minor_ms
    else if (part === 'major') sum += lengths.major_ms
    else if (part === 'match') sum += lengths.match_ms
    else if (part === 'misconduct') sum += lengths.misconduct_ms
  }
  return sum
}

/** What a call still needs before it can be posted at all. */
export type Missing = 'kind' | 'side' | 'parts' | 'text' | 'why' | 'keeper'

export function missingOf(built: Built): Missing | null {
  if (built.kind === '') return 'kind'
  if (built.kind === 'note') return built.text.trim() === '' ? 'text' : null
  if (built.kind === 'delay') return built.why === '' ? 'why' : null
  // Side and number come with one answer.
  if (built.kind === 'goalkeeper') return built.who === '' || built.side === '' ? 'keeper' : null
  if (built.side === '') return 'side'
  if (built.kind !== 'time_out' && built.side === 'officials') return 'side'
  if (built.kind === 'penalty' && partsOf(built).length === 0) return 'parts'
  return null
}

/** Whether somebody else may have to sit: a bench penalty, a goalkeeper, or more than a plain minor. */
export function asksServer(built: Built, goalkeepers: string[]): boolean {
  if (built.kind !== 'penalty' || built.base === 'penalty_shot') return false
  return (
    built.who === bench || goalkeepers.includes(built.who) || built.extras.length > 0 ||
    built.base === 'match' || built.servedBy !== ''
  )
}

/** The body of the entry, with the kind that it has; null while something is missing. */
export function bodyOf(built: Built, division: Division): AmendedBody | null {
  if (missingOf(built) !== null) return null
  switch (built.kind) {
    case 'goal': return { kind: 'goal', body: goalBody(built) }
    case 'penalty': return { kind: 'penalty', body: penaltyBody(built) }
    case 'time_out': {
      const body: TimeOutBody = { length_ms: built.length || division.time_out.length_ms || 30_000 }
      if (built.side === 'home' || built.side === 'visitors') body.side = built.side
      return { kind: 'time_out', body }
    }
    case 'delay': {
      const body: DelayBody = { why: built.why || 'other' }
      if (built.length > 0) body.length_ms = built.length
      return { kind: 'delay', body }
    }
    case 'goalkeeper': {
      const body: GoalkeeperBody = { side: built.side as Side }
      if (built.who !== nobody) body.number = built.who
      return { kind: 'goalkeeper', body }
    }
    case 'note': return { kind: 'note', body: { text: built.text.trim(), ...(built.about ? { about: built.about } : {}) } }
    case '': return null
  }
}

function number(text: string): string {
  return text === owed || text === bench ? '' : text
}

function goalBody(built: Built): GoalBody {
  const body: GoalBody = { side: built.side as Side }
  if (number(built.who)) body.scorer = number(built.who)
  if (built.assists.length > 0) body.assists = built.assists.map(number)
  if (built.unassisted && built.assists.length === 0) body.unassisted = true
  if (built.on) body.on = built.on
  if (built.emptyNet) body.empty_net = true
  if (built.ownGoal) body.own_goal = true
  if (built.onIce) body.on_ice = built.onIce
  return body
}

function penaltyBody(built: Built): PenaltyBody {
  const parts = partsOf(built)
  const body: PenaltyBody = { side: built.side as Side, parts }
  if (built.who === bench) body.bench = true
  else if (number(built.who)) body.player = number(built.who)
  if (built.call) body.call = built.call
  if (built.lengths?.length === parts.length) body.lengths_ms = built.lengths
  if (number(built.servedBy)) body.served_by = number(built.servedBy)
  if (built.signalled) body.signalled = true
  return body
}

/** A posted line as a call to be amended; null for a line that is not one. */
export function builtFrom(line: Line): Built | null {
  switch (line.kind) {
    case 'goal': {
      const { body } = line
      return {
        ...emptyBuilt('goal', body.side),
        who: body.scorer || owed,
        assists: (body.assists ?? []).map((one) => one || owed),
        unassisted: body.unassisted ?? false,
        on: body.on ?? '',
        emptyNet: body.empty_net ?? false,
        ownGoal: body.own_goal ?? false,
        onIce: body.on_ice ?? null,
      }
    }
    case 'penalty': {
      const { body } = line
      return {
        ...emptyBuilt('penalty', body.side),
        ...baseAndExtras(body.parts),
        who: body.bench ? bench : body.player || owed,
        call: body.call ?? '',
        chosen: true,
        lengths: body.lengths_ms ?? null,
        servedBy: body.served_by ?? '',
        signalled: body.signalled ?? false,
      }
    }
    case 'time_out':
      return { ...emptyBuilt('time_out', line.body.side ?? 'officials'), length: line.body.length_ms }
    case 'delay':
      return { ...emptyBuilt('delay'), why: line.body.why, length: line.body.length_ms ?? 0 }
    case 'goalkeeper':
      return { ...emptyBuilt('goalkeeper', line.body.side), who: line.body.number || nobody }
    case 'note':
      return { ...emptyBuilt('note'), text: line.body.text, about: line.body.about ?? '' }
    default:
      return null
  }
}
