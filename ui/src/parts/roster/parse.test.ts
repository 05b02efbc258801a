import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseRoster, rosterText } from './parse'

describe('a pasted roster', () => {
  it('is read in the forms that people use', () => {
    const text = 'No\tName\n12 Maren Holt C\n1, Ida Brask, G\n7\tOlu Fenn\tA\n\n#9 Sam\n00; Ny; GK\n4. Vera Lund (C)\n33\n8\tG\tIvo Marsh\n5 (A) Tam Reed'
    expect(parseRoster(text)).toEqual({
      players: [
        { number: '12', name: 'Maren Holt', captain: true },
        { number: '1', name: 'Ida Brask', goalkeeper: true },
        { number: '7', name: 'Olu Fenn', alternate: true },
        { number: '9', name: 'Sam' },
        { number: '00', name: 'Ny', goalkeeper: true },
        { number: '4', name: 'Vera Lund', captain: true },
        { number: '33' },
        { number: '8', name: 'Ivo Marsh', goalkeeper: true },
        { number: '5', name: 'Tam Reed', alternate: true },
      ],
      staff: [],
      troubles: [],
    })
  })
  it('has positions, who does not play, and the staff', () => {
    const { players, staff, troubles } = parseRoster('7 Kit Rowan D\n15 Ansel Reedy suspended\n9 Sam F late\nHead coach: Mara Varga\nManager: Ole Strand')
    expect(players).toEqual([
      { number: '7', name: 'Kit Rowan', position: 'defence' },
      { number: '15', name: 'Ansel Reedy', status: 'suspended' },
      { number: '9', name: 'Sam', position: 'forward', status: 'late' },
    ])
    expect(staff).toEqual([{ role: 'head_coach', name: 'Mara Varga' }, { role: 'manager', name: 'Ole Strand' }])
    expect(troubles).toEqual([])
    const again = parseRoster(rosterText(players, staff))
    expect([again.players, again.staff]).toEqual([players, staff])
  })
  it('takes the marks of captain and alternate in every order', () => {
    for (const letter of ['A', 'C']) {
      for (const line of [
        '7 Olu Fenn A', '7 Olu Fenn (A)', '7 Olu Fenn [A]', '7 A Olu Fenn', '7 (A) Olu Fenn', 'A 7 Olu Fenn', '(A) 7 Olu Fenn', 'A #7 Olu Fenn',
        '7A Olu Fenn', 'A7 Olu Fenn', '#7 Olu Fenn A', 'Olu Fenn A 7', 'Olu Fenn (A) 7', 'Olu Fenn 7 A', 'Olu Fenn 7 (A)', '7, Olu Fenn, A',
        'A\t7\tOlu Fenn', '7\tA\tOlu Fenn', '7\tOlu Fenn\tA',
      ]) {
        const text = line.replace('A', letter)
        const { players, troubles } = parseRoster(text)
        expect(troubles, text).toEqual([])
        expect(players, text).toEqual([{ number: '7', name: 'Olu Fenn', ...(letter === 'A' ? { alternate: true } : { captain: true }) }])
      }
      expect(parseRoster(`12 ${letter} Holt`).players).toEqual([{ number: '12', name: `${letter} Holt` }])
    }
    expect(parseRoster('7 G A Olu Fenn').players[0]).toEqual({ number: '7', name: 'Olu Fenn', goalkeeper: true, alternate: true })
  })
  it('knows 5 and 05 as one number', () => {
    expect(parseRoster('5 Olu Fenn\n05 Ida Brask').troubles.map((one) => one.line)).toEqual([2])
    expect(parseRoster('0 Olu Fenn\n00 Ida Brask').troubles).toEqual([])
  })
  it('names the lines that it cannot read, and reads the rest', () => {
    const { players, troubles } = parseRoster('12 A Holt\nMaren\n112 Too Long\n12 Again')
    expect(players).toEqual([{ number: '12', name: 'A Holt' }])
    expect(troubles.map((one) => one.line)).toEqual([2, 3, 4])
    expect(troubles[0]?.what).toContain('Maren')
    expect(troubles[2]?.what).toContain('12')
  })
  it('reads back what it has read', () => {
    const flag = fc.constantFrom({}, { goalkeeper: true }, { captain: true }, { alternate: true }, { goalkeeper: true, captain: true }, { position: 'defence', status: 'affiliate' } as const, { status: 'absent' } as const)
    const player = fc.record({ number: fc.integer({ min: 0, max: 99 }).map(String), name: fc.constantFrom('Maren Holt', 'Ida', 'Åse Dahl'), flag })
    fc.assert(fc.property(fc.uniqueArray(player, { selector: (one) => one.number, maxLength: 30 }), (list) => {
      const players = list.map(({ flag: marks, ...one }) => ({ ...one, ...marks }))
      expect(parseRoster(rosterText(players)).players).toEqual(players)
    }))
  })
})
