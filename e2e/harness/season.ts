import { readFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, type Page } from '@playwright/test'
import { beyond, violations } from './access.ts'
import { ulid } from './game.ts'
import type { Program } from './program.ts'

/** The league file of the invented league. */
export const leagueFile = join(dirname(fileURLToPath(import.meta.url)), '../../testdata/league/harbour.toml')
const sizes = [['phone', 390, 844], ['laptop', 1366, 768], ['tv', 1920, 1080]] as const
/** The team whose season the journeys follow. */
export const team = 'millrace-u14'

export interface Scheduled { id: string; home: string; visitors: string; place?: { day: string; start: string } }

/** The API of a bench, asked as its own computer does. */
export class Office {
  constructor(readonly program: Program) {}

  async ask<T>(path: string, body?: unknown, method = body === undefined ? 'GET' : 'POST'): Promise<T> {
    const answer = await fetch(`${this.program.origin}/api${path}`, {
      method, ...(body === undefined ? {} : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
    })
    if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`)
    return (await answer.json()) as T
  }

  /** The games of the team by time. */
  async games(): Promise<Scheduled[]> {
    const { games } = await this.ask<{ games: Scheduled[] }>(`/season/schedule?team=${team}`)
    const key = (one: Scheduled) => `${one.place?.day} ${one.place?.start}`
    return games.filter((one) => one.place).sort((a, b) => (key(a) < key(b) ? -1 : 1))
  }

  /** Posts one thing that happened, and gives its entry's id. */
  async post(game: string, kind: string, body: object, more: { elapsed_ms?: number; of?: string } = {}): Promise<string> {
    const id = ulid()
    await this.ask(`/games/${game}/entries`, { entries: [{
      specversion: '1.0', id, source: `/game/${game}`, type: `whistlestop.${kind}.v1`, time: new Date().toISOString(), seat: 'solo',
      ...(more.of ? { of: more.of } : {}), data: { at: { period: more.elapsed_ms === undefined ? 0 : 1, elapsed_ms: more.elapsed_ms ?? 0 }, body },
    }] })
    return id
  }
}

/** Plays a very short game of the schedule to its seal: a goal of the team's 4, and what keeps 17 out of the next. */
export async function playShort(office: Office, first: Scheduled): Promise<{ game: string; call: string }> {
  const game = ulid()
  const side = first.home === team ? 'home' : 'visitors'
  await office.ask(`/season/schedule/${first.id}/open`, { id: game, ...sides(first) })
  await office.post(game, 'stage_begun', { stage: { kind: 'period', number: 1 }, length_ms: 720_000 })
  await office.post(game, 'goal', { side, scorer: '4', assists: [] }, { elapsed_ms: 60_000 })
  const call = await office.post(game, 'penalty', { side, player: '17', call: 'boarding', parts: ['major', 'game_misconduct'] }, { elapsed_ms: 120_000 })
  await office.post(game, 'stage_begun', { stage: { kind: 'over' }, length_ms: 0 })
  await office.ask(`/games/${game}/seal`, { missing: 'a very short game' })
  return { game, call }
}

function sides(one: Scheduled) {
  return one.home === team ? { home: roster('Millrace'), visitors: others } : { home: others, visitors: roster('Millrace') }
}

/** A bench with the invented league, a schedule and one game that was played. */
export async function seasoned(program: Program): Promise<{ office: Office; first: Scheduled; next: Scheduled; game: string; call: string }> {
  const office = new Office(program)
  await office.ask('/season/league', { text: await readFile(leagueFile, 'utf8') }, 'PUT')
  await office.ask('/season/schedule', { seed: 1 })
  const [first, next] = await office.games()
  if (!first || !next) throw new Error('the team has no two games')
  return { office, first, next, ...(await playShort(office, first)) }
}

/** A team's list. */
export const roster = (name: string) => ({ name, players: [{ number: '30', name: `${name} Keeper`, goalkeeper: true }, { number: '4', name: 'Alva Reed' }, { number: '17', name: 'Tove Marsh' }] })
/** Whoever else plays. */
export const others = { name: 'Others', players: [{ number: '31', name: 'Other Keeper', goalkeeper: true }, { number: '9', name: 'Runa Falk' }] }

/** Takes a page's pictures and looks whether anybody is kept out. */
export async function pictures(page: Page, name: string) {
  for (const [size, width, height] of sizes) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/season-${name}-${size}.png`, fullPage: true })
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
  for (const scheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: scheme })
    expect(await violations(page), `${name}, ${scheme}`).toEqual([])
  }
  await page.setViewportSize({ width: 1366, height: 768 })
}
