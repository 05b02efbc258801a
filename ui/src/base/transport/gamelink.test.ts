import { describe, expect, test } from 'vitest'
import { gameLinkOf, gameOfLink, type GameLink } from './gamelink'
import { packed } from './packed'

const game: GameLink = {
  schedule: 'u14-r3-1', division: 'harbour-u14', venue: 'Northmole Ice House', date: '2026-12-05', slot_end_ms: 1_796_500_000_000,
  home: { name: 'Northmole Herons', players: [{ number: '7', name: 'Øyvind Łącki' }], colour: '#0a6' },
  visitors: { name: 'Saltmarsh Otters', players: [] },
}

describe('a game in a link', () => {
  test('comes back as it was', async () => {
    const link = await gameLinkOf(game)
    expect(link).toMatch(/^#new\/[\w-]+$/)
    expect(await gameOfLink(link.slice('#new/'.length))).toEqual(game)
  })

  test('that was cut, or is something else, is none', async () => {
    const data = (await gameLinkOf(game)).slice('#new/'.length)
    const odd = [{}, null, [], 'game', { ...game, home: undefined }, { ...game, home: { name: 'Herons', players: [null] } }, { ...game, slot_end_ms: 'soon' }, { ...game, own: 3 }]
    for (const bad of [data.slice(0, -9), '', 'x', '%', ...await Promise.all(odd.map((one) => packed(JSON.stringify(one))))]) {
      await expect(gameOfLink(bad), bad).rejects.toThrow()
    }
  })

  test('does not fill the memory, however small it is', async () => {
    await expect(gameOfLink(await packed(JSON.stringify({ ...game, venue: ' '.repeat(20_000_000) })))).rejects.toThrow('too long')
  })
})
