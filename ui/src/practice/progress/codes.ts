const least = 4 // groups of five: a word with hyphens has fewer, and a code has about twenty
const dashes = /[\u2010\u2011\u2012\u2013\u2014\u2212]/g
const unseen = /[\u00ad\u200b-\u200f\u2060\ufeff]/g
// A line may break after a hyphen. A group with a letter too few or too many is
// still taken, so that somebody is told that the code cannot be read.
const hyphened = /\b[0-9A-Za-z]{5}(?:-\s*[0-9A-Za-z]{1,9}\b)+/g
// A group that a blank or a break of line went through.
const torn = /(?<=-)([0-9A-Za-z]{1,4})\s+([0-9A-Za-z]{1,4})(?=-)/g
// Typed by hand, with blanks for hyphens. No sentence has so many words of five with digits in them.
const blanked = /\b(?:[0-9A-Za-z]{5}\s+){3,}[0-9A-Za-z]{1,5}\b/g

/**
 * The codes in a text, however it was sent: in a message with words around, many
 * at once, broken over lines, quoted. A code is groups of five letters and digits
 * with hyphens between; the last group may be shorter. Each is given once, in
 * capitals and without breaks.
 */
export function codesIn(text: string): string[] {
  const plain = text.replace(unseen, '').replace(dashes, '-').replace(/^[>|\s]+/gm, '')
    .replace(torn, (all, a: string, b: string) => (a.length + b.length === 5 ? a + b : all))
  const found: string[] = []
  const rest = plain.replace(hyphened, (all) => {
    const code = all.replace(/\s/g, '').toUpperCase()
    if (code.split('-').filter((group) => group.length === 5).length < least) return all
    found.push(code)
    return '\n'
  })
  for (const [all] of rest.matchAll(blanked)) {
    const groups = all.toUpperCase().trim().split(/\s+/)
    const code = groups.slice(Math.max(0, groups.findIndex((group) => /^[0O]/.test(group)))) // words before it
    if (code.filter((group) => /[0-9]/.test(group)).length * 2 >= code.length && code.length >= least) found.push(code.join('-'))
  }
  return [...new Set(found)]
}
