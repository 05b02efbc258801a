import { execFileSync } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { binary, type Program } from './program.ts'

const files = join(dirname(fileURLToPath(import.meta.url)), '../../testdata/league')

/** A seat of a game with who sits there, as far as the tests look at it. */
export interface Duty { game: string; seat: string; day: string; name: string; person: string; status: string; mark: string; teams: string; start: string; rink: string }

/** A file of the invented league. */
export const file = (name: string) => readFile(join(files, name), 'utf8')

/** The day so many days from today, by the calendar of the rinks. */
export const day = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10)

/** Asks the desk as its own computer does. */
export async function ask<T>(program: Program, path: string, body?: unknown, method = body === undefined ? 'GET' : 'POST'): Promise<T> {
  const answer = await fetch(`${program.origin}/api${path}`, {
    method, ...(body === undefined ? {} : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
  })
  if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`)
  return (await answer.json()) as T
}

/** The invented league with a schedule, moved by whole weeks so that its season began lately, whenever the test runs. */
export async function league(program: Program): Promise<void> {
  const shift = Math.floor((Date.now() - Date.parse('2026-10-24')) / (7 * 86_400_000)) * 7
  const text = (await file('harbour.toml')).replaceAll(/(\d{4}-\d{2}-\d{2})/g, (date) => new Date(Date.parse(date) + shift * 86_400_000).toISOString().slice(0, 10))
  await ask(program, '/season/league', { text, check: false }, 'PUT')
  await ask(program, '/season/schedule', { seed: 1, replace: false })
}

/** The same with its people, rules and a rota of four weeks. Nobody is away: the list's days are of another season. */
export async function withRota(program: Program): Promise<void> {
  await league(program)
  await ask(program, '/crew/rules/file', { text: await file('harbour-crew.toml') }, 'PUT')
  await ask(program, '/crew/people', { text: (await file('harbour-people.csv')).replaceAll(/\d{4}-\d\d-\d\d\/\d{4}-\d\d-\d\d/g, '') }, 'PUT')
  await ask(program, '/crew/rota', { from: day(1), to: day(28), moves: 1000 })
}

export const rota = (program: Program) => ask<{ duties: Duty[] }>(program, `/crew/rota?from=${day(1)}&to=${day(28)}`).then((it) => it.duties)

/** Puts the season after the one that is kept in its place, with games of its own, as a coordinator does: by the command. */
export async function nextSeason(program: Program): Promise<void> {
  const { text } = await ask<{ text: string }>(program, '/season/league')
  const next = text.replace('2026-27', '2027-28')
    .replaceAll(/(\d{4}-\d{2}-\d{2})/g, (date) => new Date(Date.parse(date) + 364 * 86_400_000).toISOString().slice(0, 10))
  const folder = await mkdtemp(join(tmpdir(), 'next-season-'))
  const [toml, games] = [join(folder, 'league.toml'), join(folder, 'schedule.json')]
  await writeFile(toml, next)
  execFileSync(binary, ['season', 'schedule', toml, '--out', games, '--old', join(program.data, 'league', 'schedule.json')])
  execFileSync(binary, ['season', 'keep', toml, games, '--data', program.data])
  await rm(folder, { recursive: true })
}
