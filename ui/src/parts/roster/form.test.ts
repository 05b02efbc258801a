import { describe, expect, it } from 'vitest'
import type { RosterTeam } from '../../base/contract/contract'
import { TeamForm } from './form.svelte'

describe('a roster that is typed over', () => {
  const team: RosterTeam = {
    name: 'Kelp Bay', staff: [{ role: 'head_coach', name: 'Bo Lind' }, { role: 'other', name: 'Ny Sund' }],
    players: [{ number: '12', name: 'Maren Holt', position: 'defence', status: 'late' }, { number: '1', goalkeeper: true, position: 'goalkeeper' }],
  }
  it('is what it was where nothing was typed', () => {
    expect(new TeamForm(team).team).toEqual(team)
  })
  it('says what its text says, and keeps what has no word there', () => {
    const form = new TeamForm(team)
    form.text = form.text.replace('D late', 'F C').replace('Bo Lind', 'Bo Lund')
    expect(form.team).toEqual({
      name: 'Kelp Bay', staff: [{ role: 'head_coach', name: 'Bo Lund' }, { role: 'other', name: 'Ny Sund' }],
      players: [{ number: '12', name: 'Maren Holt', captain: true, position: 'forward' }, { number: '1', goalkeeper: true, position: 'goalkeeper' }],
    })
  })
  it('says nothing that nobody said', () => {
    const form = new TeamForm()
    form.name = ' Millrace '
    form.text = '7'
    expect(form.team).toEqual({ name: 'Millrace', players: [{ number: '7' }] })
  })
})
