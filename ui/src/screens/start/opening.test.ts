import { beforeEach, expect, test, vi } from 'vitest'
import type { Division } from '../../base/contract/contract'
import { api } from '../../base/transport/api'
import type { GameLink } from '../../base/transport/gamelink'
import { Opening } from './opening.svelte'

const own = { id: 'reef-u13', name: 'Under 13', league: 'Reef League' } as Division
const here = { id: 'harbour-u14', name: 'Under 14' } as Division
const link: GameLink = {
  schedule: 'u13-r1-1', division: own.id, own,
  home: { name: 'Northmole Herons', players: [] }, visitors: { name: 'Saltmarsh Otters', players: [] },
}

const keep = vi.spyOn(api, 'keepDivision')
const open = vi.spyOn(api, 'open')

beforeEach(() => {
  vi.clearAllMocks()
  vi.spyOn(api, 'divisions').mockImplementation(() => Promise.resolve({ divisions: [here], own: [] }))
  vi.spyOn(api, 'keepTeam').mockResolvedValue(undefined as never)
  keep.mockImplementation(({ division }) => Promise.resolve(division))
  open.mockResolvedValue({ id: 'game' })
})

const kept = () => keep.mock.calls.map(([made]) => made).filter((made) => !made.check)

test('the division of a link is kept when its game is opened, and not before', async () => {
  const opening = new Opening(link)
  await opening.load()
  expect(opening.division).toBe(own.id)
  expect(opening.strange).toBe(false)
  expect(kept()).toEqual([])
  expect(await opening.go()).toBe('game')
  expect(kept()).toEqual([{ from: '', division: own, source: '', replace: false }])
  expect(open.mock.calls[0]?.[0].division).toBe(own.id)
})

test('it is not kept where the game is played by another', async () => {
  const opening = new Opening(link)
  await opening.load()
  opening.division = here.id
  expect(await opening.go()).toBe('game')
  expect(kept()).toEqual([])
})

test('it is kept once, also where the game could not be opened at first', async () => {
  const opening = new Opening(link)
  await opening.load()
  open.mockRejectedValueOnce(new Error('gone'))
  expect(await opening.go()).toBeNull()
  expect(await opening.go()).toBe('game')
  expect(kept()).toHaveLength(1)
})

test('one that cannot be used is none', async () => {
  keep.mockRejectedValue(new Error('unusable'))
  const opening = new Opening(link)
  await opening.load()
  expect(opening.strange).toBe(true)
  expect(opening.division).toBe(here.id)
})
