import { describe, expect, it } from 'vitest'
import { hashOf, placeOf, type Place } from './place'

describe('the places of the practice site', () => {
  it('are read as they are written', () => {
    const places: Place[] = [
      { page: 'menu' }, { page: 'menu', seat: 'box' }, { page: 'coordinator' },
      { page: 'card', data: 'aZ-_9' }, { page: 'ours', data: 'aZ-_9' }, { page: 'new', data: 'aZ-_9' },
      { page: 'play', script: 'standard', seat: 'solo', pace: 'real' },
      { page: 'play', script: 'made/7 %', seat: 'box', pace: 'step' },
    ]
    expect(places.map((one) => placeOf(hashOf(one)))).toEqual(places)
  })
  it('may be shortened, and are the menu where they make no sense', () => {
    expect(placeOf('#play/standard')).toEqual({ page: 'play', script: 'standard', seat: 'solo', pace: 'fast' })
    for (const hash of ['', '#', '#play', '#play/', '#play/standard/president', '#play/standard/solo/warp', '#elsewhere', '#seat', '#seat/president', '#new', '#new/']) {
      expect(placeOf(hash)).toEqual({ page: 'menu' })
    }
    expect(placeOf('#play/%')).toMatchObject({ page: 'play', script: '%' })
  })
})
