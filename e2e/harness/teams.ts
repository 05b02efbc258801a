/** The two teams of every game here, invented, in the form in which people paste a roster. */
export const home = {
  name: 'Kelp Bay',
  roster: [
    '1 Ola Brandt G', '4 Sam Quill', '6 Noor Abel', '7 Mika Sund', '9 Jo Larch C',
    '12 Rae Holm A', '17 Ines Moor', '21 Kit Vane', '25 Pau Reed',
  ].join('\n'),
}

export const visitors = {
  name: 'Lanternside',
  roster: [
    '30 Bo Tarn G', '3 Alix Fenn', '5 Lou Carr', '8 Max Ivory C', '10 Ren Dale', '14 Uma Frost',
    '16 Eli Stone', '22 Tove Ash A', '23 Cas Brook',
  ].join('\n'),
}
