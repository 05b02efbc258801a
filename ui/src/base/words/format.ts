// Times as people read and type them. Every argument and result is in whole
// milliseconds unless its name says otherwise.

const second = 1000
const minute = 60 * second

/** A time that is left as m:ss, rounded up to the whole second, as a countdown shows it. */
export function leftText(ms: number): string {
  return plain(Math.ceil(Math.max(0, ms) / second))
}

/** A time that has passed as m:ss, with the part of a second cut off. */
export function elapsedText(ms: number): string {
  return plain(Math.floor(Math.max(0, ms) / second))
}

/**
 * The game clock: m:ss, and tenths below one minute where `tenths` is wanted.
 * Tenths are rounded up too, so that 0.0 stands for the end and nothing else.
 */
export function clockText(ms: number, tenths: boolean): string {
  const parts = Math.ceil(Math.max(0, ms) / 100)
  if (!tenths || parts >= 600) return leftText(ms)
  return `${Math.floor(parts / 10)}.${parts % 10}`
}

/**
 * Reads a time as people type it: "5:13", "513", "45", "0:07.4". Null for
 * anything that is not a time. Digits without a colon are seconds up to two
 * digits, and minutes with two digits of seconds beyond.
 */
export function parseClock(text: string): number | null {
  const found = /^(?:(\d{1,2}):(\d{2})|(\d{1,4}))(?:\.(\d))?$/.exec(text.trim())
  if (!found) return null
  const [, minutes, seconds, digits = '', tenth = '0'] = found
  const m = Number(minutes ?? (digits.length > 2 ? digits.slice(0, -2) : 0))
  const s = Number(seconds ?? (digits.length > 2 ? digits.slice(-2) : digits))
  if (s > 59 && (minutes !== undefined || digits.length > 2)) return null
  return m * minute + s * second + Number(tenth) * 100
}

function plain(seconds: number): string {
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`
}
