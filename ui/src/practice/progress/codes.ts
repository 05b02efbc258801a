const least = 4 // groups of five: a word with hyphens has fewer, and a code has about twenty
const dashes = /[‐‑‒–—−]/g
const unseen = /[\u00ad\u200b-\u200f\u2060\ufeff]/g
// A line may break after a hyphen. A group with a letter too few or too many is
// still taken, so that somebody is told that the code cannot be read.
const hyphened = /\b[0-9A-Za-z]{5}(?:-\s*[0-9A-Za-z]{1,9}\b)+/g
// Typed by hand, with blanks for hyphens: capitals only, so that no sentence is taken for one.
const blanked = /\b(?:[0-9A-Z]{5}\s+){3,}[0-9A-Z]{1,5}\b/g

/**
 * The codes in a text, however it was sent: in a message with words around, many
 * at once, broken over lines, quoted. A code is groups of five letters and digits
 * with hyphens between; the last group may be shorter. Each is given once, in
 * capitals and without breaks.
 */
export function codesIn(text: string): string[] {
  const plain = text.replace(unseen, '').replace(dashes, '-').replace(/^[>|\s]+/gm, '')
  const found: string[] = []
  const rest = plain.replace(hyphened, (all) => {
    const code = all.replace(/\s/g, '').toUpperCase()
    if (code.split('-').filter((group) => group.length === 5).length < least) return all
    found.push(code)
    return '\n'
  })
  for (const [all] of rest.matchAll(blanked)) {
    if (/[0-9]/.test(all)) found.push(all.trim().replace(/\s+/g, '-'))
  }
  return [...new Set(found)]
}
