import { expect, it, vi } from 'vitest'
import type { Link } from '../base/transport/link'
import { Posting } from './posting.svelte'
import { LiveGame } from './live.svelte'

it('a game asks over the link that it is given, and goes by the time of that link from the start', async () => {
  const asked = vi.fn(() => Promise.resolve(new Response('{"title":"No","detail":"The clock runs."}', { status: 422 })))
  const time = { measured: true, bound: 1, details: null, now: () => 42, of: () => 42, hint: () => undefined, forget: () => undefined, measure: () => Promise.resolve() }
  const link: Link = { can: { seats: false, copies: false, pages: false, keeps: false, shares: false }, fetch: asked, listen: () => { throw new Error('not here') }, time }
  const game = new LiveGame('g', { link })
  expect(game.ticker.now).toBe(42)
  const posting = new Posting(game)
  posting.enter('delay_over', {})
  await vi.waitFor(() => expect(posting.message).toContain('The clock runs.'))
  expect(asked.mock.calls.map((call) => (call as unknown[])[0])).toEqual(['/games/g/entries'])
})
