import { describe, expect, it } from 'vitest'
import { TeamForm } from './form.svelte'

describe('a roster that is typed over', () => {
  it('keeps what its text does not say', () => {
    const form = new TeamForm({
      name: 'Kelp Bay', staff: [{ role: 'head_coach', name: 'Bo Lind' }],
      players: [{ number: '12', name: 'Maren Holt', position: 'defence', status: 'late' }, { number: '1', goalkeeper: true, position: 'goalkeeper' }],
    })
    form.text = '12 Maren Holt C\n1\n9 Sam'
    expect(form.team).toEqual({
      name: 'Kelp Bay', staff: [{ role: 'head_coach', name: 'Bo Lind' }],
      players: [{ number: '12', name: 'Maren Holt', captain: true, position: 'defence', status: 'late' }, { number: '1' }, { number: '9', name: 'Sam' }],
    })
  })
  it('says nothing that nobody said', () => {
    const form = new TeamForm()
    form.name = ' Millrace '
    form.text = '7'
    expect(form.team).toEqual({ name: 'Millrace', players: [{ number: '7' }] })
  })
})
