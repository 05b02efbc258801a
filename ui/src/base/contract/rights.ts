// Made from the rights of the bench by tools/contract; do not edit. Run "make contract".

import type { Kind, Seat } from './contract'

/** The seats that may enter, change and take back a kind of entry, beside the bench itself. */
export const seatsOf: Record<Kind, Seat[]> = {
  game_opened: [],
  roster_set: ['book'],
  stage_begun: ['clock'],
  clock_started: ['clock'],
  clock_stopped: ['clock'],
  clock_set: ['clock'],
  time_out: ['clock'],
  goal: ['book'],
  penalty: ['book'],
  choice: ['box', 'book'],
  set_aside: ['clock', 'box', 'book'],
  note: ['clock', 'box', 'book', 'shots', 'voice'],
  board_read: ['clock'],
  bench_set: [],
  running_time: ['clock'],
  goalkeeper: ['book', 'shots'],
  delay: ['clock'],
  delay_over: ['clock'],
  seated: ['box'],
  card_set: [],
  ticked: ['clock', 'book'],
  shots: ['book', 'shots'],
  face_off: ['book', 'shots'],
  attempt: ['book'],
  announced: ['voice', 'book'],
  roster_confirmed: ['book'],
  crew_set: ['book'],
  signed: ['book'],
  sealed: [],
  clock_doubted: [],
  withdrawn: [],
  amended: ['clock', 'box', 'book', 'shots', 'voice'],
  struck: ['clock', 'box', 'book', 'shots', 'voice'],
}

/**
 * How the button that takes back treats a kind of entry: as an act, as a press on a clock, which counts
 * for a minute, as a tap that is taken back where it was made, or not at all.
 */
export const undoOf: Record<Kind, 'act' | 'press' | 'there' | 'never'> = {
  game_opened: 'never',
  roster_set: 'act',
  stage_begun: 'act',
  clock_started: 'press',
  clock_stopped: 'press',
  clock_set: 'act',
  time_out: 'act',
  goal: 'act',
  penalty: 'act',
  choice: 'act',
  set_aside: 'act',
  note: 'act',
  board_read: 'act',
  bench_set: 'act',
  running_time: 'act',
  goalkeeper: 'act',
  delay: 'act',
  delay_over: 'act',
  seated: 'act',
  card_set: 'act',
  ticked: 'there',
  shots: 'there',
  face_off: 'there',
  attempt: 'act',
  announced: 'there',
  roster_confirmed: 'act',
  crew_set: 'act',
  signed: 'act',
  sealed: 'never',
  clock_doubted: 'never',
  withdrawn: 'never',
  amended: 'act',
  struck: 'never',
}

/** Kinds that keep the book in order and say nothing of the game: people look for them rarely. */
export const quietKinds: readonly Kind[] = [
  'game_opened',
  'roster_set',
  'stage_begun',
  'clock_started',
  'clock_stopped',
  'clock_set',
  'choice',
  'set_aside',
  'bench_set',
  'seated',
  'card_set',
  'amended',
  'struck',
]

/** Kinds that no tap on the bench's list of entries strikes. */
export const noStrikeKinds: readonly Kind[] = [
  'game_opened',
  'roster_set',
  'clock_started',
  'ticked',
  'sealed',
  'clock_doubted',
  'withdrawn',
]
