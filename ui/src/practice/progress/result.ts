import type { Critical, PracticeResult, Seat, Skill, SkillScore } from '../../base/contract/contract'

/** The seats that practice is kept for, in the order in which they are shown. */
export const seats = ['solo', 'clock', 'box', 'book'] as const satisfies Seat[]

const mostName = 60 // bytes, as a code has room for
const mostSkills = 64
const named = /^[a-z_]{1,40}$/ // a skill, or an error that spoils a game

/** A name as it is kept, or '' where it cannot be one. */
export function nameOf(text: unknown): string {
  if (typeof text !== 'string') return ''
  const name = text.trim().replace(/\s+/g, ' ')
  // eslint-disable-next-line no-control-regex
  return new TextEncoder().encode(name).length > mostName || /[\u0000-\u001f\u007f-\u009f]/.test(name) ? '' : name
}

export function sameName(a: string, b: string): boolean {
  return a.trim().toLowerCase() === b.trim().toLowerCase()
}

/** A result from a file or from the browser, or null where it cannot be one. */
export function resultOf(read: unknown): PracticeResult | null {
  if (typeof read !== 'object' || read === null) return null
  const { name, seat, script, level, drill, day, score, skills, critical = [] } = read as Record<string, unknown>
  const who = nameOf(name)
  const where = seats.find((one) => one === seat)
  if (who === '' || where === undefined || typeof script !== 'string' || !/^[a-z0-9][a-z0-9-]{0,59}$/.test(script)) return null
  if (!whole(level, 1, 5) || !whole(day, 0, 65_535) || !whole(score, 0, 100)) return null
  if (typeof drill !== 'boolean' || !Array.isArray(skills) || skills.length > mostSkills) return null
  const parts = skills.map(partOf)
  if (parts.includes(null)) return null
  if (!Array.isArray(critical) || critical.length > mostSkills || !critical.every((one) => typeof one === 'string' && named.test(one))) return null
  return { name: who, seat: where, script, level, drill, day, score, skills: parts as SkillScore[], ...(critical.length > 0 && { critical: critical as Critical[] }) }
}

function partOf(read: unknown): SkillScore | null {
  if (typeof read !== 'object' || read === null) return null
  const { skill, right, of } = read as Record<string, unknown>
  if (typeof skill !== 'string' || !named.test(skill) || !whole(of, 1, 100_000) || !whole(right, 0, of)) return null
  return { skill: skill as Skill, right, of }
}

function whole(value: unknown, least: number, most: number): value is number {
  return Number.isInteger(value) && (value as number) >= least && (value as number) <= most
}

/** Tells results apart: the same one by code and by file is one. A code has skills as parts of a hundred. */
export function markOf(one: PracticeResult): string {
  const skills = one.skills.filter((part) => part.of > 0).map((part) => `${part.skill} ${Math.floor((100 * part.right) / part.of)}`).sort()
  return [one.name.trim().toLowerCase(), one.seat, one.script, one.level, one.drill, one.day, one.score, ...skills, ...[...(one.critical ?? [])].sort()].join('|')
}

/** Results with more put behind them, each once; `added` counts what was new. */
export function merge(known: PracticeResult[], more: PracticeResult[]): { all: PracticeResult[]; added: number; twice: number } {
  const marks = new Set(known.map(markOf))
  const all = [...known]
  for (const one of more) {
    const mark = markOf(one)
    if (!marks.has(mark)) all.push(one)
    marks.add(mark)
  }
  const added = all.length - known.length
  return { all, added, twice: more.length - added }
}

/** A seat as one that practice is kept for; the engine names no other. */
export function seatOf(seat: Seat): (typeof seats)[number] {
  return seats.find((one) => one === seat) ?? 'solo'
}
