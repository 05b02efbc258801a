import { expect } from '@playwright/test'
import type { Behind } from './behind.ts'
import { ulid } from './game.ts'

const periodLength = 12 * 60_000 // milliseconds, of the Under 14 games here

type Side = 'home' | 'visitors'

/**
 * Past enters what came before a story, behind the pages' back: a ledger as a
 * bench would have left it, without the minutes that it took.
 */
export class Past {
  constructor(
    private readonly bench: Behind,
    private readonly game: string,
  ) {}

  /** Begins a stage; play stages have twelve minutes, the intermission one. */
  async begin(kind: 'period' | 'intermission', number: number): Promise<void> {
    const rest = kind === 'intermission'
    await this.post({ stage_begun: { stage: { kind, number }, length_ms: rest ? 60_000 : periodLength, ...(rest ? { running: true } : {}) } })
  }

  /** Play goes on, and is stopped with so much left on the clock, such as "8:00". */
  async whistle(left: string): Promise<void> {
    const elapsed = { elapsed_ms: elapsedAt(left) }
    await this.post({ clock_set: elapsed }, { clock_started: elapsed }, { clock_stopped: elapsed })
  }

  /** Play goes on until the clock of the period has run out; or that of another stage, of that length. */
  async runOut(length = periodLength): Promise<void> {
    await this.post({ clock_set: { elapsed_ms: length } })
  }

  async goal(side: Side, scorer: string, ...assists: string[]): Promise<void> {
    await this.post({ goal: { side, scorer, ...(assists.length > 0 ? { assists } : { unassisted: true }) } })
  }

  async penalty(side: Side, player: string, call: string, parts = ['minor']): Promise<void> {
    await this.post({ penalty: { side, player, call, parts } })
  }

  /** Who keeps goal; nobody: the net is empty. */
  async keeper(side: Side, number = ''): Promise<void> {
    await this.post({ goalkeeper: { side, ...(number === '' ? {} : { number }) } })
  }

  /** Says whose clock is official, and what the puck drop waits for. */
  async work(body: { clock: 'lead' | 'beside' | 'follow'; wait_for_ticks?: boolean; confirm_box?: boolean }): Promise<void> {
    await this.post({ bench_set: body })
  }

  /** Takes a rink card into use, that of the invented arena if no other one is named; its board reads right then. */
  async card(id = 'saltworks'): Promise<void> {
    const { text } = await this.bench.ask('GET', '/cards')
    const { cards } = JSON.parse(text) as { cards: { id: string; card: unknown }[] }
    const found = cards.find((one) => one.id === id)
    expect(found, `the rink card ${id}`).toBeDefined()
    await this.post({ card_set: { card: found?.card } })
  }

  /** Posts bodies, named by their kinds, at the moment at which play stands. */
  private async post(...bodies: Record<string, unknown>[]): Promise<void> {
    const time = new Date().toISOString()
    const entries = bodies.flatMap((body) => Object.entries(body)).map(([kind, body]) => ({
      specversion: '1.0', id: ulid(), source: `/game/${this.game}`, type: `whistlestop.${kind}.v1`,
      time, seat: 'solo', data: { at: { period: 0, elapsed_ms: 0 }, body },
    }))
    const { status, text } = await this.bench.ask('POST', `/games/${this.game}/entries`, JSON.stringify({ entries }))
    if (status !== 200) throw new Error(`the past was not entered: ${status} ${text}`)
  }
}

/** Elapsed milliseconds of a period with so much left. */
function elapsedAt(left: string): number {
  const [minutes = 0, seconds = 0] = left.split(':').map(Number)
  return periodLength - (minutes * 60 + seconds) * 1000
}
