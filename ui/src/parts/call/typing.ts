import type { CallBuilder } from './builder.svelte'
import type { Vocabulary } from './grammar'

/** Takes the command line as it reads after a key: a sign at its end keeps the call and begins the next one. */
export function typeInto(builder: CallBuilder, text: string, words: Vocabulary): void {
  const keeps = text.endsWith(';') || text.endsWith('+')
  builder.type(keeps ? text.slice(0, -1) : text, words)
  if (keeps) builder.collect()
}
