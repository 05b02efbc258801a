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
  amended: ['clock', 'box', 'book', 'shots', 'voice'],
  struck: ['clock', 'box', 'book', 'shots', 'voice'],
}
