import type { Line } from '../base/contract/contract'

/** The entry that a line is about in the end: itself, or what it amends or strikes, through any number of edits. */
export function aboutOf(line: Line): string {
  return line.root ?? line.of ?? line.entry
}
