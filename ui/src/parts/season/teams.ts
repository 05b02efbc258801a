import { read, written } from './field'

interface Team { id: string; name: string; home?: string }

/** The teams of a division as lines: id, name and home rink, as they are typed. What else a team has stays with its id. */
export function teamLines(raw: string): string {
  if (raw === '') return ''
  return (JSON.parse(raw) as Team[]).map((one) => [one.id, one.name, one.home ?? ''].join(', ').replace(/, $/, '')).join('\n')
}

/** The teams again of lines. */
export function teamsOf(lines: string, raw: string): string {
  const before = raw === '' ? [] : (JSON.parse(raw) as Team[])
  const teams = lines.split('\n').map((line) => line.split(',').map((one) => one.trim())).filter(([id]) => id !== undefined && id !== '').map(([id = '', name = '', home = '']) => {
    const kept: Partial<Team> = { ...before.find((one) => one.id === id) }
    delete kept.home
    return { ...kept, id, name, ...(home === '' ? {} : { home }) }
  })
  return teams.length === 0 ? '' : JSON.stringify(teams)
}

interface Away { from: string; to?: string; why: string }

/** The days on which teams do not play, a line each: the team, first and last day, reason. */
export function awayLines(raw: string): string {
  if (raw === '') return ''
  return (JSON.parse(raw) as (Team & { away?: Away[] })[]).flatMap((one) => (one.away ?? []).map((span) => `${one.id} ${written('spans', JSON.stringify([span]))}`)).join('\n')
}

/** The teams with such days. A line of a team that is not there stays out. */
export function withAway(raw: string, lines: string): string {
  if (raw === '') return ''
  const of = new Map<string, string[]>()
  for (const line of lines.split('\n')) {
    const [, id, rest] = /^\s*(\S+?),?\s+(.*)$/.exec(line) ?? []
    if (id && rest) of.set(id, [...(of.get(id) ?? []), rest])
  }
  return JSON.stringify((JSON.parse(raw) as (Team & { away?: Away[] })[]).map((one) => {
    const team: Partial<typeof one> = { ...one }
    delete team.away
    const spans = read('spans', (of.get(one.id) ?? []).join('\n'))
    return spans === '' ? team : { ...team, away: JSON.parse(spans) as Away[] }
  }))
}
