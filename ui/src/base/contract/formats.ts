// Made from the list of formats by tools/contract; do not edit. Run "make contract".

/** The files of a report that people take along, in order, with the keys of their names. */
export const downloads = [
  { file: 'report.pdf', words: 'report.file.pdf' },
  { file: 'report.pdf?paper=letter', words: 'report.file.letter' },
  { file: 'report.pdf?picture=yes', words: 'report.file.picture' },
  { file: 'report.xlsx', words: 'report.file.xlsx' },
  { file: 'report.csv', words: 'report.file.csv' },
  { file: 'report.json', words: 'report.file.json' },
] as const
