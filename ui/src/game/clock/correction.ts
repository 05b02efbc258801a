// What the referee says about the clock, typed as it is said:
//
//   5:13   513            set the clock to that
//   +9   put 9 back       put nine seconds back on the clock
//   ran on 9              the same: it ran on after the whistle
//   -4   started 4 s late take four seconds off: it was started too late

import { parseClock } from '../../base/words/format'

/** A correction as it was typed: the clock is set, or so much is put on it. Milliseconds. */
export type Correction = { kind: 'set'; left: number } | { kind: 'add'; by: number }

const amount = String.raw`(\d{1,4}|\d{1,2}:\d{2})(?:\.(\d))?`
const unit = String.raw`\s*(s|sec|secs|second|seconds)?`

// Each pattern has one amount in it, which is put back on the clock or taken off it.
const back = patterns(
  String.raw`\+\s*N`, 'put N back', 'put back N', 'N back', 'back N', 'add N', 'ran on N',
  'stopped N( too)? late', 'stopped( too)? late N', 'started N( too)? (early|soon)', 'started( too)? (early|soon) N',
)
const off = patterns(
  String.raw`[-\u2212\u2013]\s*N`, 'take N off', 'take off N', 'N off', 'off N', 'late N', 'N late',
  'started N( too)? late', 'started( too)? late N', 'stopped N( too)? (early|soon)', 'stopped( too)? (early|soon) N',
)

function patterns(...forms: string[]): RegExp[] {
  return forms.map((form) => {
    const spaced = form.replaceAll(' ', String.raw`\s+`).replace(/\((?!\\)/g, '(?:')
    return new RegExp(`^${spaced.replace('N', `${amount}${unit}`)}$`)
  })
}

/** Reads a correction. Null for anything that is none. */
export function parseCorrection(text: string): Correction | null {
  const typed = text.trim().toLowerCase()
  const left = parseClock(typed)
  if (left !== null) return { kind: 'set', left }
  const sign = back.some((one) => one.test(typed)) ? 1 : off.some((one) => one.test(typed)) ? -1 : 0
  if (sign === 0) return null
  for (const pattern of [...back, ...off]) {
    const found = pattern.exec(typed)
    if (!found) continue
    const by = amountOf(found[1] ?? '', found[2] ?? '0', found[3] !== undefined)
    return by === null || by === 0 ? null : { kind: 'add', by: sign * by }
  }
  return null
}

/** An amount of time: with a unit always seconds, without one as a clock is typed. */
function amountOf(digits: string, tenth: string, seconds: boolean): number | null {
  if (seconds && !digits.includes(':')) return Number(digits) * 1000 + Number(tenth) * 100
  return parseClock(`${digits}.${tenth}`)
}

/**
 * What is left on a clock after the correction, or null where that is more than
 * the clock has or less than nothing. `left` is what it shows now, `length`
 * all that it has, in milliseconds.
 */
export function corrected(correction: Correction, left: number, length: number): number | null {
  const after = correction.kind === 'set' ? correction.left : left + correction.by
  return after < 0 || after > length ? null : after
}
