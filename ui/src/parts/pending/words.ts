import '../../base/words/opened'
import type { Entry, State } from '../../base/contract/contract'
import { leftText } from '../../base/words/format'
import { readClock } from '../../game/clock/reading'
import { kindOf } from '../history/ledger'
import { versionWords } from '../history/words'
import type { Batch } from '../../base/transport/outbox.svelte'
import { periodShort, stageName, teamName } from '../../base/words/game'
import { say, t, tOf } from '../../base/words/words'

/** What a kept batch says, for people. */
export interface Kept {
  key: string
  words: string
  when: string // on the clock at which it was entered; empty where play has no clock
}

/** What waits to be handed over, in the order in which it was entered. */
export function keptRows(batches: Batch[], state: State): Kept[] {
  return batches.map(({ key, entries }) => ({
    key, when: entries[0] ? whenWords(entries[0], state) : '',
    words: entries.map((one) => entryWords(one, state, batches)).join(' '),
  }))
}

/** Where the clock stood when an entry was made, by what this page knew of the clock. */
function whenWords(entry: Entry, state: State): string {
  const { clock, stage } = state
  if (clock.length_ms === 0 || (stage.kind !== 'period' && stage.kind !== 'overtime')) return ''
  const { left } = readClock(clock, Date.parse(entry.time))
  const period = state.periods.filter((one) => one.begun).pop()?.period ?? 0
  return t('pending.at', { time: leftText(left), period: periodShort(state, period) })
}

/** An entry that has no place in the ledger yet, in words. */
export function entryWords(entry: Entry, state: State, batches: Batch[] = []): string {
  const plain = { key: `line.${kindOf(entry)}` }
  switch (entry.type) {
    case 'whistlestop.seated.v1': {
      const { side, player, in: inside } = entry.data.body
      return say({ key: inside ? 'line.seated_in' : 'line.seated_out', args: { team: teamName(state, side), player } })
    }
    case 'whistlestop.shots.v1': {
      const { side, count } = entry.data.body
      return say({ key: count === 1 ? 'line.shot' : 'line.shots', args: { team: teamName(state, side), count: String(count) } })
    }
    case 'whistlestop.face_off.v1':
      return say({ ...plain, args: { team: teamName(state, entry.data.body.won) } })
    case 'whistlestop.goalkeeper.v1': {
      const { side, number } = entry.data.body
      return say({ key: number ? 'line.goalkeeper' : 'line.net_empty', args: { team: teamName(state, side), player: number ?? '' } })
    }
    case 'whistlestop.goal.v1':
      return `${versionWords({ kind: 'goal', body: entry.data.body }, state)}.`
    case 'whistlestop.penalty.v1':
      return `${versionWords({ kind: 'penalty', body: entry.data.body }, state)}.`
    case 'whistlestop.note.v1':
      return entry.data.body.text
    case 'whistlestop.stage_begun.v1':
      return say({ ...plain, args: { stage: stageName(entry.data.body.stage) } })
    case 'whistlestop.clock_started.v1':
    case 'whistlestop.clock_stopped.v1':
      return say({ ...plain, args: { time: leftText(state.clock.length_ms - entry.data.body.elapsed_ms) } })
    case 'whistlestop.clock_set.v1':
    case 'whistlestop.board_read.v1':
      return say({ ...plain, args: { time: leftText(state.clock.length_ms - entry.data.body.elapsed_ms) } })
    case 'whistlestop.struck.v1':
    case 'whistlestop.amended.v1': {
      const key = entry.type === 'whistlestop.struck.v1' ? 'pending.struck' : 'pending.changed'
      return t(key, { line: targetWords(entry.of ?? '', state, batches) })
    }
    default:
      return tOf(`pending.kind.${kindOf(entry)}`, t('pending.other'))
  }
}

/** What an edit is about: a line of the ledger, or something that waits as well. */
function targetWords(of: string, state: State, batches: Batch[]): string {
  const line = state.lines.find((one) => one.entry === of)
  if (line) return say(line.say)
  const waits = batches.flatMap((one) => one.entries).find((one) => one.id === of)
  return waits && waits.of !== of ? entryWords(waits, state, batches) : t('pending.other')
}
