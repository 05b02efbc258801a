const letters = '0123456789ABCDEFGHJKMNPQRSTVWXYZ'

let last = 0

/**
 * A new ULID: 48 bits of time and 80 random bits. Ids made on one page sort in
 * the order in which they were made, also within one millisecond.
 * `crypto.randomUUID` is missing on plain http, `getRandomValues` is not.
 */
export function ulid(now: number = Date.now()): string {
  last = Math.max(last + 1, Math.floor(now))
  let text = ''
  for (let time = last, i = 0; i < 10; i++) {
    text = letters.charAt(time % 32) + text
    time = Math.floor(time / 32)
  }
  const random = crypto.getRandomValues(new Uint8Array(16))
  for (const byte of random) text += letters.charAt(byte % 32)
  return text
}
