import { expect, type Page } from '@playwright/test'
import { ulid } from './game.ts'
import { Hooked } from './hooked.ts'
import type { Program } from './program.ts'

/** An entry of a few words, posted from the bench's own computer behind the pages' back. */
export async function post(program: Program, game: string, kind: string, body: object, at: object = { period: 0, elapsed_ms: 0 }): Promise<void> {
  const answer = await fetch(`${program.origin}/api/games/${game}/entries`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      entries: [{
        specversion: '1.0', id: ulid(), source: `/game/${game}`, type: `whistlestop.${kind}.v1`,
        time: new Date().toISOString(), seat: 'solo', data: { at, body },
      }],
    }),
  })
  if (!answer.ok) throw new Error(`${kind} was refused: ${answer.status} ${await answer.text()}`)
}

async function newest(program: Program): Promise<string> {
  const { games } = (await (await fetch(`${program.origin}/api/games`)).json()) as { games: { id: string }[] }
  return games[0]?.id ?? ''
}

/** The shots of the first period so far. */
export async function postShots(program: Program): Promise<void> {
  const game = await newest(program)
  await post(program, game, 'goalkeeper', { side: 'home', number: '1' }, { period: 1, elapsed_ms: 0 })
  await post(program, game, 'shots', { side: 'home', count: 4 })
  await post(program, game, 'shots', { side: 'visitors', count: 6 })
}

/** A goal of the side with more skaters, at the whistle at which the invented game stands. */
export async function powerPlayGoal(program: Program): Promise<void> {
  const game = await newest(program)
  const { state } = (await (await fetch(`${program.origin}/api/games/${game}`)).json()) as {
    state: { terms: { side: string; ended: string; costs: boolean; end: { abs_ms: number } }[] }
  }
  const short = state.terms.filter((term) => term.costs).at(-1)?.side
  await post(program, game, 'goal', { side: short === 'home' ? 'visitors' : 'home', scorer: '9', unassisted: true })
}

/** A seat's page of this computer, with its hooks. */
export class SeatPage extends Hooked {
  constructor(page: Page) {
    super(page, 'seat')
  }

  static async open(page: Page, program: Program, game: string, seat: string, side = ''): Promise<SeatPage> {
    await page.goto(`${program.origin}/seat?game=${game}&seat=${seat}${side === '' ? '' : `&side=${side}`}`)
    const opened = new SeatPage(page)
    await expect(opened.at('page')).toBeVisible()
    return opened
  }
}
