// States for tests, made by hand: the Harbour League, twelve-minute periods.

import type { Bench, Leaving, Line, Moment, State, Term } from '../base/contract/contract'

export const minute = 60_000
const length = 12 * minute

/** A moment `left` milliseconds before the end of a period. */
export function momentAt(period: number, left: number): Moment {
  const elapsed = length - left
  return { abs_ms: (period - 1) * length + elapsed, period, elapsed_ms: elapsed, left_ms: left }
}

export function term(given: Partial<Term> & Pick<Term, 'id' | 'start' | 'end'>): Term {
  return {
    entry: given.id, row: given.id, side: 'home', player: '17', bench: false, sits: '17', part: 'minor',
    call: 'tripping', length_ms: given.end.abs_ms - given.start.abs_ms, ended: 'time', cut_ms: 0,
    costs: true, goal_ends: true, matched: false, on_clock: true, waits: false, door: 'at_end',
    out: given.end, reasons: [], ...given,
  }
}

/** A release with `left` on the clock of the second period, said from ten seconds before to ten after. */
export function leavingAt(left: number, given: Partial<Leaving> = {}): Leaving {
  const moment = momentAt(2, left)
  return {
    moment, side: 'home', sits: '17', player: '17', bench: false, term: 'x', door: 'at_end', why: { key: 'why.time' },
    from_ms: moment.abs_ms - 10_000, until_ms: moment.abs_ms + 10_000, ...given,
  }
}

export function line(given: Partial<Line> & Pick<Line, 'entry' | 'kind' | 'body'>): Line {
  return {
    seq: 1, moment: momentAt(1, 0), wall_ms: 0, seat: 'solo', say: { key: 'line.note' }, follows: [],
    struck: false, amended: false, ...given,
  } as Line
}

/** How the bench works, with nothing turned on. */
export function benchAs(clock: Bench['clock']): Bench {
  return {
    clock, confirm_box: false, wait_for_ticks: false, running_time: false, names: false, on_ice: false, face_offs: false,
  }
}

/** The second period with `left` on a stopped clock. */
export function stateAt(left: number, given: Partial<State> = {}): State {
  return {
    game: '01JD0000000000000000000000', seq: 9, opened: true,
    info: { code: 'usah-youth', code_name: 'USA Hockey, youth' },
    division: {
      id: 'harbour-u14', name: 'Under 14', league: 'Harbour League', code: 'usah-youth',
      warm_up_ms: 5 * minute, periods_ms: [length, length, length], intermissions_ms: [minute, minute],
      skaters: 5,
      lengths: {
        minor_ms: 90_000, bench_minor_ms: 90_000, major_ms: 5 * minute, match_ms: 3 * minute,
        misconduct_ms: 10 * minute,
      },
      overtime: { periods: [{ length_ms: 5 * minute, skaters: 4, rest_ms: minute }], sudden_death: true },
      shoot_out: { shooters: 3 },
      time_out: { each: 1, length_ms: 30_000 },
    },
    stage: { kind: 'period', number: 2 },
    next: [{ stage: { kind: 'intermission', number: 2 }, length_ms: minute, running: true }],
    clock: { running: false, elapsed_ms: length - left, wall_ms: 1000, length_ms: length, error_ms: 0 },
    periods: [1, 2, 3].map((period) => ({
      period, stage: { kind: 'period', number: period }, abs_ms: (period - 1) * length, length_ms: length,
      skaters: 5, begun: period <= 2,
    })),
    teams: [
      { side: 'home', name: 'Kelp Bay', players: [{ number: '12' }, { number: '17' }, { number: '1', goalkeeper: true }], score: 1, shown: 1, time_outs: 0, staff: [], goalkeeper: '', net_empty: false },
      { side: 'visitors', name: 'Lanternside', players: [{ number: '4' }, { number: '12' }], score: 2, shown: 2, time_outs: 0, staff: [], goalkeeper: '', net_empty: false },
    ],
    goals: [], calls: [], terms: [], strength: [], releases: [], hold: [], notices: [], owed: [], asked: [], lines: [],
    bench: benchAs('lead'),
    book: {
      shots: [], attempts: [], keepers: [], face_offs: [], crew: {}, confirmed: ['', ''], said: [], signatures: [],
      seals: [], sealed: false, doubles: [],
    },
    ...given,
  }
}
