// Made from schema.json by tools/contract/types.mjs; do not edit. Run "make contract".

/** About says what a note is about. The empty value: a remark. */
export type About = '' | 'incident' | 'injury' | 'late_start' | 'curfew' | 'finish' | 'equipment' | 'suspended_play'
/** Do says what an act is. */
export type Do = 'shown' | 'horn' | 'ready' | 'told_out' | 'asked' | 'drafting' | 'drafted'
/** Millis is a duration or a position of a clock in whole milliseconds. Game time is never a float: the same ledger must give the same bytes everywhere. */
export type Millis = number
/** Side is one of the two teams. */
export type Side = 'home' | 'visitors'
/** Jersey is the number on a sweater as it is written. "7" and "07" are one number, shown as the roster writes it; "0" and "00" are two. The empty jersey means "number to follow". */
export type Jersey = string
/** Fault is a kind of slip. The sentence that names one is the message "drill.slip.<fault>", the sentence that advises "drill.practise.<fault>". */
export type SlipFault =
  | 'goal_missing'
  | 'goal_not_back'
  | 'goal_double'
  | 'goal_extra'
  | 'goal_side'
  | 'goal_scorer'
  | 'goal_assists'
  | 'goal_how'
  | 'goal_moment'
  | 'call_missing'
  | 'call_double'
  | 'call_extra'
  | 'call_side'
  | 'call_number'
  | 'call_length'
  | 'call_half'
  | 'call_signal'
  | 'call_server'
  | 'call_name'
  | 'call_moment'
  | 'call_order'
  | 'release_missing'
  | 'release_wrong'
  | 'release_early'
  | 'release_late'
  | 'back_missing'
  | 'seat_missing'
  | 'clock_not_put'
  | 'stop_missing'
  | 'stop_late'
  | 'stop_early'
  | 'stop_extra'
  | 'start_missing'
  | 'start_late'
  | 'start_early'
  | 'stop_running'
  | 'stage_missing'
  | 'horn_missing'
  | 'horn_late'
  | 'time_out_missing'
  | 'time_out_side'
  | 'time_out_extra'
  | 'running_missing'
  | 'running_extra'
  | 'choice_missing'
  | 'choice_wrong'
  | 'board_missing'
  | 'board_wrong'
  | 'card_steps'
  | 'drop_on_hold'
  | 'ready_slow'
  | 'entered_late'
/** Skill is something that a bench must be able to do. */
export type Skill =
  | 'start_stop'
  | 'score'
  | 'period_end'
  | 'minor'
  | 'power_play_goal'
  | 'even_goal'
  | 'carry_over'
  | 'time_out'
  | 'two_on_one'
  | 'five_on_three'
  | 'coincidental'
  | 'double_minor'
  | 'major'
  | 'misconduct'
  | 'delayed_third'
  | 'signalled_goal'
  | 'taken_back'
  | 'put_back'
  | 'running_time'
  | 'overtime'
  | 'noise'
  | 'follow_board'
/** Amended replaces the moment and the body of the entry named in Of. The kind stays what it was. An entry may be amended again and again; the newest amendment counts. */
export type AmendedBody =
  | { kind: 'game_opened'; body: GameOpenedBody }
  | { kind: 'roster_set'; body: RosterSetBody }
  | { kind: 'stage_begun'; body: StageBegunBody }
  | { kind: 'clock_started'; body: ClockStartedBody }
  | { kind: 'clock_stopped'; body: ClockStoppedBody }
  | { kind: 'clock_set'; body: ClockSetBody }
  | { kind: 'time_out'; body: TimeOutBody }
  | { kind: 'goal'; body: GoalBody }
  | { kind: 'penalty'; body: PenaltyBody }
  | { kind: 'choice'; body: ChoiceBody }
  | { kind: 'set_aside'; body: SetAsideBody }
  | { kind: 'note'; body: NoteBody }
  | { kind: 'board_read'; body: BoardReadBody }
  | { kind: 'bench_set'; body: BenchSetBody }
  | { kind: 'running_time'; body: RunningTimeBody }
  | { kind: 'goalkeeper'; body: GoalkeeperBody }
  | { kind: 'delay'; body: DelayBody }
  | { kind: 'delay_over'; body: DelayOverBody }
  | { kind: 'seated'; body: SeatedBody }
  | { kind: 'card_set'; body: CardSetBody }
  | { kind: 'ticked'; body: TickedBody }
  | { kind: 'shots'; body: ShotsBody }
  | { kind: 'face_off'; body: FaceOffBody }
  | { kind: 'attempt'; body: AttemptBody }
  | { kind: 'announced'; body: AnnouncedBody }
  | { kind: 'roster_confirmed'; body: RosterConfirmedBody }
  | { kind: 'crew_set'; body: CrewSetBody }
  | { kind: 'signed'; body: SignedBody }
  | { kind: 'sealed'; body: SealedBody }
  | { kind: 'clock_doubted'; body: ClockDoubtedBody }
  | { kind: 'withdrawn'; body: WithdrawnBody }
/** MinorForm is what a minor costs. */
export type MinorForm = '' | 'penalty_shot' | 'penalty_shot_or_time' | 'rest_of_shift'
/** Returns says whether running time goes back to stop time. */
export type Returns = '' | 'never' | 'below' | 'closed'
/** SlotAction is what happens when the ice time runs out before the game. */
export type SlotAction = '' | 'set_clock_and_run' | 'run_out' | 'end'
/** ReportTimes says how times are written on a report. */
export type ReportTimes = '' | 'elapsed' | 'remaining'
/** Position is where a player plays. The empty value: not said. */
export type Position = '' | 'goalkeeper' | 'defence' | 'forward'
/** PlayerStatus says whether a player of the roster takes part. */
export type PlayerStatus = '' | 'absent' | 'late' | 'suspended' | 'affiliate'
/** Role is what a grown-up does at a game. */
export type Role =
  | 'referee'
  | 'linesperson'
  | 'scorer'
  | 'timekeeper'
  | 'box_home'
  | 'box_visitors'
  | 'shots'
  | 'announcer'
  | 'head_coach'
  | 'coach'
  | 'manager'
  | 'trainer'
  | 'other'
/** StageKind says what is going on at the rink. */
export type StageKind = 'setup' | 'warm_up' | 'period' | 'intermission' | 'overtime' | 'shoot_out' | 'over'
/** GoalOn says how a goal came about where that changes what it ends. */
export type GoalOn = '' | 'penalty_shot' | 'awarded'
/** Part is one part of a call: what the referee imposes. */
export type Part = 'minor' | 'bench_minor' | 'major' | 'misconduct' | 'game_misconduct' | 'match' | 'penalty_shot'
/** ClockMode says whose clock is official. */
export type ClockMode = 'lead' | 'follow' | 'beside'
/** DelayWhy is what play waits for. */
export type DelayWhy = 'injury' | 'ice' | 'equipment' | 'other'
/** AttemptOn says why a player shot alone. */
export type AttemptOn = 'penalty_shot' | 'shoot_out'
/** DoubtWhy is why nobody knows what a clock shows. */
export type DoubtWhy = '' | 'stepped' | 'restarted' | 'not_yet' | 'moved'
/** ReadingBy is how a reading of a doubted clock came about. */
export type ReadingBy = 'last_known' | 'counted' | 'time_of_day'
/** Kind is what an announcement is about. */
export type AnnouncementKind =
  'before' | 'goal' | 'penalty' | 'taken_back' | 'time_out' | 'full_strength' | 'last_minute'
/** Seat is a role at the bench. */
export type Seat = 'solo' | 'clock' | 'box' | 'book' | 'shots' | 'voice' | 'program'
/** Day is a day, counted from 1 January 2020. */
export type PracticeDay = number
/** Critical is a kind of error that spoils a game: the score, the strength on the ice or the time is wrong, and nobody can make up for it afterwards. Its name is the message "drill.critical.<kind>". */
export type Critical =
  | 'goal_missing'
  | 'goal_side'
  | 'goal_extra'
  | 'call_missing'
  | 'call_side'
  | 'call_extra'
  | 'release_wrong'
  | 'release_missing'
  | 'clock_ran'
/** Pace says how the time between the things that a practice asks for passes. The clock of the practice always runs as fast as a real one, so that tenths mean what they mean in a game: a quicker pace leaves out what nobody needs to watch. */
export type Pace = 'real' | 'fast' | 'step'
/** CueKind says what a cue is. */
export type CueKind =
  'line_up' | 'drop' | 'arm' | 'whistle' | 'runs_out' | 'signal' | 'words' | 'sits' | 'crowd' | 'break_over' | 'end'
/** Why is what a whistle was for. */
export type CueWhy = 'puck' | 'offside' | 'icing' | 'net' | 'injury' | 'goal' | 'penalty' | 'end' | 'official'
/** Speaker is who says something to the bench. */
export type Speaker = 'referee' | 'captain' | 'coach' | 'parent' | 'player'
/** Why says why a penalty is not on the board. */
export type BesideWhy = 'waits' | 'after' | 'no_line' | 'too_long'
/** Kind names what an entry says. The set is closed: a switch over it must name every kind. */
export type Kind =
  | 'game_opened'
  | 'roster_set'
  | 'stage_begun'
  | 'clock_started'
  | 'clock_stopped'
  | 'clock_set'
  | 'time_out'
  | 'goal'
  | 'penalty'
  | 'choice'
  | 'set_aside'
  | 'note'
  | 'board_read'
  | 'bench_set'
  | 'running_time'
  | 'goalkeeper'
  | 'delay'
  | 'delay_over'
  | 'seated'
  | 'card_set'
  | 'ticked'
  | 'shots'
  | 'face_off'
  | 'attempt'
  | 'announced'
  | 'roster_confirmed'
  | 'crew_set'
  | 'signed'
  | 'sealed'
  | 'clock_doubted'
  | 'withdrawn'
  | 'amended'
  | 'struck'
/** When is a happening that a card can have steps for. */
export type RinkCardWhen =
  | 'set_time'
  | 'change_period'
  | 'before_game'
  | 'hold_penalties'
  | 'intermission'
  | 'goal_taken_back'
  | 'goal'
  | 'penalty_taken_down'
  | 'penalty_changed'
  | 'penalty_posted'
  | 'after_intermission'
  | 'time_out'
  | 'running_time'
  | 'horn'
  | 'after_game'
/** Class is the class of a goal in the official record, from the scorers' side. */
export type Class = 'even' | 'power_play' | 'short_handed'
/** OneMinorEach says how a team's single minor each at one stoppage is played. */
export type OneMinorEach = 'substitute' | 'four_on_four'
/** WhoChooses says who settles what the book leaves open between two penalties. */
export type WhoChooses = 'captain' | 'reported'
/** SecondMisconduct says what the misconduct that ejects a player is in the record. */
export type SecondMisconduct = 'none' | 'besides' | 'instead'
export type ConsoleDo = string
export type ConsoleSlipKind = string
/** DecidedIn is where a game was decided. */
export type DecidedIn = '' | 'regulation' | 'overtime' | 'shoot_out'
/** Door says how a player leaves the box after a term. */
export type Door = 'at_end' | 'next_whistle' | 'at_whistle' | 'none'
/** Ended says how a term ended. */
export type Ended = 'time' | 'goal' | 'wiped' | 'not_served'
/** Entry is a line of the ledger. It is written as a CloudEvent 1.0. A draft has no seq and no prev: the ledger gives them. */
export type Entry = EntryCommon &
  (
    | { type: 'whistlestop.game_opened.v1'; data: { at: At; body: GameOpenedBody } }
    | { type: 'whistlestop.roster_set.v1'; data: { at: At; body: RosterSetBody } }
    | { type: 'whistlestop.stage_begun.v1'; data: { at: At; body: StageBegunBody } }
    | { type: 'whistlestop.clock_started.v1'; data: { at: At; body: ClockStartedBody } }
    | { type: 'whistlestop.clock_stopped.v1'; data: { at: At; body: ClockStoppedBody } }
    | { type: 'whistlestop.clock_set.v1'; data: { at: At; body: ClockSetBody } }
    | { type: 'whistlestop.time_out.v1'; data: { at: At; body: TimeOutBody } }
    | { type: 'whistlestop.goal.v1'; data: { at: At; body: GoalBody } }
    | { type: 'whistlestop.penalty.v1'; data: { at: At; body: PenaltyBody } }
    | { type: 'whistlestop.choice.v1'; data: { at: At; body: ChoiceBody } }
    | { type: 'whistlestop.set_aside.v1'; data: { at: At; body: SetAsideBody } }
    | { type: 'whistlestop.note.v1'; data: { at: At; body: NoteBody } }
    | { type: 'whistlestop.board_read.v1'; data: { at: At; body: BoardReadBody } }
    | { type: 'whistlestop.bench_set.v1'; data: { at: At; body: BenchSetBody } }
    | { type: 'whistlestop.running_time.v1'; data: { at: At; body: RunningTimeBody } }
    | { type: 'whistlestop.goalkeeper.v1'; data: { at: At; body: GoalkeeperBody } }
    | { type: 'whistlestop.delay.v1'; data: { at: At; body: DelayBody } }
    | { type: 'whistlestop.delay_over.v1'; data: { at: At; body: DelayOverBody } }
    | { type: 'whistlestop.seated.v1'; data: { at: At; body: SeatedBody } }
    | { type: 'whistlestop.card_set.v1'; data: { at: At; body: CardSetBody } }
    | { type: 'whistlestop.ticked.v1'; data: { at: At; body: TickedBody } }
    | { type: 'whistlestop.shots.v1'; data: { at: At; body: ShotsBody } }
    | { type: 'whistlestop.face_off.v1'; data: { at: At; body: FaceOffBody } }
    | { type: 'whistlestop.attempt.v1'; data: { at: At; body: AttemptBody } }
    | { type: 'whistlestop.announced.v1'; data: { at: At; body: AnnouncedBody } }
    | { type: 'whistlestop.roster_confirmed.v1'; data: { at: At; body: RosterConfirmedBody } }
    | { type: 'whistlestop.crew_set.v1'; data: { at: At; body: CrewSetBody } }
    | { type: 'whistlestop.signed.v1'; data: { at: At; body: SignedBody } }
    | { type: 'whistlestop.sealed.v1'; data: { at: At; body: SealedBody } }
    | { type: 'whistlestop.clock_doubted.v1'; data: { at: At; body: ClockDoubtedBody } }
    | { type: 'whistlestop.withdrawn.v1'; data: { at: At; body: WithdrawnBody } }
    | { type: 'whistlestop.amended.v1'; data: { at: At; body: AmendedBody } }
    | { type: 'whistlestop.struck.v1'; data: { at: At; body: StruckBody } }
  )
/** Kind names what is wrong. Each has its words in the catalogue: audit.what, audit.why and audit.right. */
export type FindingKind =
  | 'time_missing'
  | 'time_outside'
  | 'period_unknown'
  | 'out_of_order'
  | 'times_reversed'
  | 'goal_class'
  | 'goal_score'
  | 'goal_twice'
  | 'goal_after_end'
  | 'goal_goalkeeper'
  | 'empty_net_kept'
  | 'empty_net_unsaid'
  | 'shot_assisted'
  | 'own_assisted'
  | 'assists_many'
  | 'assist_self'
  | 'assist_twice'
  | 'scorer_missing'
  | 'assist_missing'
  | 'goal_limit'
  | 'on_ice_scorer'
  | 'on_ice_many'
  | 'number_unlisted'
  | 'away_takes_part'
  | 'in_box'
  | 'called_in_box'
  | 'out_takes_part'
  | 'player_missing'
  | 'call_missing'
  | 'server_missing'
  | 'server_sits'
  | 'server_keeps'
  | 'minutes'
  | 'start_time'
  | 'release_time'
  | 'end_missing'
  | 'ejection_unsaid'
  | 'total'
  | 'score'
  | 'shots_below_goals'
  | 'player_total'
  | 'goalkeeper_time'
  | 'goalkeeper_saves'
  | 'goalkeeper_goals'
  | 'goalkeeper_shots'
  | 'goalkeepers_two'
  | 'goalkeeper_listed'
  | 'number_twice'
  | 'captains_many'
  | 'alternates_many'
  | 'captain_keeps'
  | 'roster_long'
  | 'roster_short'
  | 'goalkeepers_many'
  | 'time_outs_many'
  | 'overtime_untied'
  | 'shoot_out_untied'
  | 'shoot_out_winner'
  | 'choice_unanswered'
/** Severity says how sure the audit is. */
export type Severity = 'wrong' | 'look' | 'owed'
/** Mend says how a slip is put right. The sentence that says it is the message "ui.practice.mend.<mend>". */
export type Mend =
  'nothing' | 'enter' | 'change' | 'remove' | 'clock' | 'stop' | 'start' | 'seat' | 'door' | 'stage' | 'horn' | 'board'
/** Hint says what is to be done next, of what the learner owes. The sentence that says it is the message "ui.practice.hint.<hint>". */
export type Hint =
  '' | 'start' | 'stop' | 'door' | 'enter' | 'call' | 'stage' | 'other' | 'post' | 'seat' | 'ready' | 'next'
/** Kind says what is wrong with an entry. */
export type LedgerFaultKind =
  'unreadable' | 'changed' | 'missing' | 'inserted' | 'moved' | 'unsealed' | 'differs' | 'short'
/** Line is an entry in words, with what followed from it. */
export type Line = LineCommon &
  (
    | { kind: 'game_opened'; body: GameOpenedBody }
    | { kind: 'roster_set'; body: RosterSetBody }
    | { kind: 'stage_begun'; body: StageBegunBody }
    | { kind: 'clock_started'; body: ClockStartedBody }
    | { kind: 'clock_stopped'; body: ClockStoppedBody }
    | { kind: 'clock_set'; body: ClockSetBody }
    | { kind: 'time_out'; body: TimeOutBody }
    | { kind: 'goal'; body: GoalBody }
    | { kind: 'penalty'; body: PenaltyBody }
    | { kind: 'choice'; body: ChoiceBody }
    | { kind: 'set_aside'; body: SetAsideBody }
    | { kind: 'note'; body: NoteBody }
    | { kind: 'board_read'; body: BoardReadBody }
    | { kind: 'bench_set'; body: BenchSetBody }
    | { kind: 'running_time'; body: RunningTimeBody }
    | { kind: 'goalkeeper'; body: GoalkeeperBody }
    | { kind: 'delay'; body: DelayBody }
    | { kind: 'delay_over'; body: DelayOverBody }
    | { kind: 'seated'; body: SeatedBody }
    | { kind: 'card_set'; body: CardSetBody }
    | { kind: 'ticked'; body: TickedBody }
    | { kind: 'shots'; body: ShotsBody }
    | { kind: 'face_off'; body: FaceOffBody }
    | { kind: 'attempt'; body: AttemptBody }
    | { kind: 'announced'; body: AnnouncedBody }
    | { kind: 'roster_confirmed'; body: RosterConfirmedBody }
    | { kind: 'crew_set'; body: CrewSetBody }
    | { kind: 'signed'; body: SignedBody }
    | { kind: 'sealed'; body: SealedBody }
    | { kind: 'clock_doubted'; body: ClockDoubtedBody }
    | { kind: 'withdrawn'; body: WithdrawnBody }
    | { kind: 'amended'; body: AmendedBody }
    | { kind: 'struck'; body: StruckBody }
  )
/** Status is how ready somebody is. */
export type ReadinessStatus = 'not_yet' | 'ready' | 'faded'
/** Field is what a cell of a roster is about. */
export type RosterField =
  'number' | 'name' | 'first_name' | 'last_name' | 'position' | 'status' | 'letter' | 'role' | 'dressed'
/** Level says how bad a finding is. */
export type RosterLevel = 'mistake' | 'look'
/** Waiting is what a practice waits for. */
export type Waiting = '' | 'start' | 'stop' | 'ready' | 'post' | 'next'
/** Topic is a kind of consequence. */
export type Topic =
  | 'minor'
  | 'bench_minor'
  | 'double_minor'
  | 'major'
  | 'misconduct'
  | 'minor_and_misconduct'
  | 'ejected'
  | 'match'
  | 'goalkeeper'
  | 'penalty_shot'
  | 'goal_ends'
  | 'goal_on_shot'
  | 'goal_awarded'
  | 'same_end'
  | 'wiped'
  | 'not_wiped'
  | 'matched'
  | 'matched_major'
  | 'matched_four'
  | 'matched_pick'
  | 'late_difference'
  | 'waits'
  | 'held'
  | 'major_first'
  | 'minor_first'
  | 'overtime'
  | 'carried'
  | 'majors_limit'
  | 'penalties_limit'
  | 'misconducts_limit'
  | 'team_limit'
  | 'stick_limit'
/** Act is what a learner did, or was shown, that is no entry of the ledger. Its instant, like those of the learner's entries, is of the practice's own clock, which a screen may let run faster than the wall's. */
export interface Act {
  do: Do
  wall_ms: Millis
  /** Shown: which */
  cue?: number
  side?: Side
  player?: Jersey
}
/** Advantage are chances, goals and time with more skaters than the other side, or with fewer. */
export interface Advantage {
  chances: number
  goals: number
  time_ms: Millis
}
/** Advice is a thing to practise. */
export interface Advice {
  fault: SlipFault
  skill: Skill
  /** id of the drill's script */
  drill: string
  /** some of it spoils a game */
  critical?: boolean
  count: number
  cost: number
  say: Say
}
/** Say is a sentence by its key in the message catalogue, with what goes into the gaps. The pure packages stay free of any language. An argument that begins with "@" is itself a key of the catalogue ("@call.tripping", "@class.power_play"), or a whole sentence as String writes it; a call that the catalogue does not know is shown as it was written. */
export interface Say {
  key: string
  args?: {
    [k: string]: string
  }
}
/** GameOpened is the first entry of every ledger. Division is a full copy of the division's settings, so that a game folds alike when the division is changed later. */
export interface GameOpenedBody {
  number?: string
  /** id of the game in the league's schedule */
  schedule?: string
  venue?: string
  /** as people write it, YYYY-MM-DD */
  date?: string
  division: Division
  home: RosterTeam
  visitors: RosterTeam
}
/** Division is the settings of one age group in one league. In a division file times are written "1:30"; in JSON they are milliseconds. Everything is optional but the id, the name, the code, the periods, the skaters and the lengths of the penalties: what a division does not say it does not have. */
export interface Division {
  id: string
  name: string
  league?: string
  /** id of the rule body's code */
  code: string
  warm_up_ms: Millis
  /** each regulation period */
  periods_ms: Millis[]
  /** after each but the last */
  intermissions_ms: Millis[]
  /** of a side at full strength */
  skaters: number
  lengths: PenaltyLengths
  /** ShortGoalFrees says that a short-handed goal ends a minor of the side that scored, as one professional league plays it. */
  short_goal_frees?: boolean
  clock?: ClockRule
  running?: Running
  slot?: Slot
  overtime: OvertimeSettings
  shoot_out: ShootOutSettings
  time_out: TimeOutSettings
  limits?: Limits
  display?: Display
  report_times?: ReportTimes
  /** Sources says where each setting was read, by the setting's name or its table's, or "common practice, no source". */
  sources?: {
    [k: string]: string
  }
}
/** Lengths are the lengths of the penalties of a division. */
export interface PenaltyLengths {
  minor_ms: Millis
  bench_minor_ms: Millis
  major_ms: Millis
  match_ms: Millis
  misconduct_ms: Millis
  form?: MinorForm
}
/** ClockRule is how the clock of a period runs where it is not plain stop time. */
export interface ClockRule {
  /** runs through stoppages */
  running?: boolean
  /** only these do; empty: all */
  running_periods?: number[]
  stop_last_ms?: Millis
  /** ... if the lead is at most this; 0: whatever it is */
  stop_within?: number
  /** stops for a call, an injury, the officials */
  stops_for_calls?: boolean
  horn_every_ms?: Millis
  warm_up_whistle_ms?: Millis
  skate_between_ms?: Millis
}
/** Running is running time once one side leads by much. */
export interface Running {
  /** 0: never */
  lead?: number
  /** 1: at any time */
  from_period?: number
  returns?: Returns
  /** penalties run through stoppages, release in play only */
  keeps_box_going?: boolean
  /** the game is over instead */
  ends_game?: boolean
  /** the league has other penalty lengths in running time */
  changes_lengths?: boolean
  /** the long break is left out at this lead */
  skips_break_at?: number
}
/** Slot is the ice time. */
export interface Slot {
  length_ms?: Millis
  action?: SlotAction
  /** the last period is half of the minutes left, rounded down */
  last_half?: boolean
  /** ... but never longer than its own length */
  last_at_most?: boolean
  least_play_ms?: Millis
}
/** Overtime is how a tied game goes on. No Periods: it does not. */
export interface OvertimeSettings {
  periods: OvertimePeriod[]
  /** the first goal ends the game */
  sudden_death?: boolean
  /** the last one repeats until there is a winner */
  repeat?: boolean
  /** a second penalty waits for the first to end */
  one_at_a_time?: boolean
  if_slot_allows?: boolean
  minor_ms?: Millis
  finals_only?: boolean
}
/** OvertimePeriod is one overtime period. */
export interface OvertimePeriod {
  length_ms: Millis
  skaters: number
  rest_ms: Millis
  /** the first goal of this one ends the game */
  sudden_death?: boolean
  running?: boolean
}
/** ShootOut is a shoot-out. No Shooters: there is none. */
export interface ShootOutSettings {
  /** a side, before sudden death */
  shooters: number
  prepare_ms?: Millis
  /** nobody twice before all have shot */
  all_first?: boolean
  /** both sides shoot at once */
  both_ends?: boolean
  /** who shoots first */
  home_chooses?: boolean
  whole_team?: boolean
  /** after every game, tied or not */
  always?: boolean
  /** the other side shoots first in the next round */
  flips_order?: boolean
  /** goalkeepers keep their ends */
  same_ends?: boolean
  /** whoever is in the box may not shoot */
  bars_penalized?: boolean
  finals_only?: boolean
}
/** TimeOut is the time-outs of a team. */
export interface TimeOutSettings {
  /** for each team in a game, overtime included */
  each: number
  length_ms: Millis
  injured_goalkeeper_ms?: Millis
  finals_only?: boolean
}
/** Limits are counts that end a player's game or that a roster must keep. */
export interface Limits {
  /** a player's penalty with this number ejects; 0: the code's own rule */
  penalties?: number
  minutes_ms?: Millis
  goals_by_player?: number
  /** most players of a side */
  dressed?: number
  least_skaters?: number
  least_players?: number
  /** the code's own count of penalties does not hold */
  no_penalties?: boolean
  /** a side's penalties that suspend its head coach; 0: the code's own rule */
  team_penalties?: number
  suspends_late_ms?: Millis
}
/** Display is what the public display shows. */
export interface Display {
  /** the sheet has every goal */
  lead_at_most?: number
  no_score?: boolean
  /** the sheet keeps the score only */
  no_scorers?: boolean
}
/** Team is a team as it comes to the game. */
export interface RosterTeam {
  name: string
  players?: Player[]
  staff?: Official[]
  /** of the club, as "#1a2b3c"; "" is the lane's own */
  colour?: string
}
/** Player is a line of a roster. */
export interface Player {
  number: Jersey
  name?: string
  goalkeeper?: boolean
  captain?: boolean
  alternate?: boolean
  position?: Position
  status?: PlayerStatus
}
/** Official is a grown-up with a role, by name. */
export interface Official {
  role: Role
  name: string
}
/** RosterSet replaces a side's name and roster. */
export interface RosterSetBody {
  side: Side
  team: RosterTeam
}
/** StageBegun moves the game to a stage and sets its clock to Length. Running says that the clock starts at once, as in an intermission. */
export interface StageBegunBody {
  stage: Stage
  length_ms: Millis
  running?: boolean
}
/** Stage is a stage with its number: period 2, the intermission after period 2, overtime 1. Setup, warm-up, shoot-out and over have the number 0. */
export interface Stage {
  kind: StageKind
  number?: number
}
/** ClockStarted says that the clock of the stage was started. The instant is the entry's Wall, the position the entry's At (in a play stage) or Elapsed. ErrorMs bounds how far off the instant may be, from the measured round trips. */
export interface ClockStartedBody {
  elapsed_ms: Millis
  error_ms?: Millis
}
/** ClockStopped says that the clock of the stage was stopped with Elapsed on it. */
export interface ClockStoppedBody {
  elapsed_ms: Millis
  error_ms?: Millis
}
/** ClockSet puts the clock of the stage right, on the referee's word. Moves says that the whistle itself was at Elapsed, and takes along what was entered at it: the clock ran on, or was stopped too soon. */
export interface ClockSetBody {
  elapsed_ms: Millis
  moves?: boolean
}
/** TimeOut is a time-out. An empty Side is the officials' own. */
export interface TimeOutBody {
  side?: Side
  length_ms: Millis
}
/** Goal is a goal for Side. An empty Scorer, or an empty jersey among Assists, is owed. Unassisted says that there was no assist, so that none is owed. */
export interface GoalBody {
  side: Side
  scorer?: Jersey
  assists?: Jersey[]
  unassisted?: boolean
  on?: GoalOn
  empty_net?: boolean
  own_goal?: boolean
  on_ice?: OnIce
}
/** OnIce are the players who were on the ice at a goal, goalkeepers included, in leagues that keep them. */
export interface OnIce {
  home?: Jersey[]
  visitors?: Jersey[]
}
/** Penalty is a call. An empty Player is owed unless Bench is set. Lengths gives the length of each part where it differs from the division's. ServedBy is who sits in place of the player. Signalled says that the referee's arm was up before the whistle: a goal may wipe such a minor out. */
export interface PenaltyBody {
  side: Side
  player?: Jersey
  bench?: boolean
  /** infraction code of the division, such as "tripping" */
  call?: string
  parts: Part[]
  lengths_ms?: Millis[]
  served_by?: Jersey
  signalled?: boolean
}
/** Choice answers a question that the book leaves to a captain. Question is the id that the fold gave it; Picks are the players, in the order named. */
export interface ChoiceBody {
  question: string
  picks: Jersey[]
}
/** SetAside says that a reason to hold was seen and may wait. Item is its key. */
export interface SetAsideBody {
  item: string
}
/** Note is a remark for the book. Side and Player say whom it is about, where it lets somebody play who is suspended; elsewhere they are empty. */
export interface NoteBody {
  text: string
  about?: About
  side?: Side
  player?: Jersey
}
/** BoardRead is the time read from the rink's own board at a stoppage, as elapsed time of the period: the board is official, and this is where play stopped. */
export interface BoardReadBody {
  elapsed_ms: Millis
}
/** BenchSet is how the bench works at this game. */
export interface BenchSetBody {
  clock: ClockMode
  /** hold until each penalised player was seen in the box */
  confirm_box?: boolean
  /** hold until the steps of the rink card are ticked */
  wait_for_ticks?: boolean
  /** the public may see names; otherwise numbers only */
  names?: boolean
  /** the league keeps who was on the ice at a goal */
  on_ice?: boolean
  /** the league keeps face-offs */
  face_offs?: boolean
  slot_end_ms?: Millis
}
/** RunningTime turns running time on or off, on the referee's word. */
export interface RunningTimeBody {
  on: boolean
}
/** Goalkeeper says who keeps goal from now on. An empty Number is an empty net. */
export interface GoalkeeperBody {
  side: Side
  number?: Jersey
}
/** Delay begins a delay with a clock of its own, which counts down from Length, or up if Length is 0. */
export interface DelayBody {
  why: DelayWhy
  length_ms?: Millis
}
/** DelayOver ends a delay, or a time-out before its time. */
export interface DelayOverBody {}
/** Seated says that a player was seen going into the box, or out of it. */
export interface SeatedBody {
  side: Side
  player: Jersey
  in: boolean
}
/** CardSet takes a rink card into use, as a full copy; null takes it away. */
export interface CardSetBody {
  card: unknown
}
/** Ticked says that a step of the rink card was done. Step is the id that the card's list gave it. */
export interface TickedBody {
  step: string
}
/** Shots are shots on goal by Side since the last count: 1 for a tap, more for a tally that is handed over. */
export interface ShotsBody {
  side: Side
  /** 1 to 99 */
  count: number
}
/** FaceOff is a face-off that Won won. The players are named where they are kept. */
export interface FaceOffBody {
  won: Side
  home?: Jersey
  visitors?: Jersey
}
/** Attempt is a player alone against the goalkeeper: a penalty shot that missed, or an attempt of a shoot-out. A penalty shot that scored is a Goal. */
export interface AttemptBody {
  side: Side
  player?: Jersey
  goalkeeper?: Jersey
  scored: boolean
  on: AttemptOn
}
/** Announced says that an announcement was made. What is its key. */
export interface AnnouncedBody {
  what: string
}
/** RosterConfirmed says that a side's roster was confirmed, by whom. */
export interface RosterConfirmedBody {
  side: Side
  by: string
}
/** CrewSet says who officiates on the ice and who works beside it. */
export interface CrewSetBody {
  officials?: Official[]
  crew?: Official[]
}
/** Signed is a signature under the report: drawn, or by name and code. Drawing is the path of the pen as SVG path data. */
export interface SignedBody {
  role: Role
  name: string
  code?: string
  drawing?: string
}
/** Sealed closes the report. Head is the hash of the entry before it, Replaces the entry of the seal before it, Missing why something is still owed. Key and Signature are Ed25519 in base64. */
export interface SealedBody {
  /** from 1 */
  version: number
  head: string
  replaces?: string
  missing?: string
  key: string
  signature: string
}
/** ClockDoubted says that nobody knows what the clock shows: the computer slept for Asleep while it ran, or could not tell the time after a restart. The clock stands at Elapsed, the last that is known, until somebody says what it really is. Kept is the newest instant that was written before, Found what the computer's clock said then. */
export interface ClockDoubtedBody {
  elapsed_ms: Millis
  asleep_ms: Millis
  why?: DoubtWhy
  kept_wall_ms?: Millis
  found_wall_ms?: Millis
  step_ms?: Millis
  readings?: ClockReading[]
}
/** ClockReading is what a doubted clock may show. */
export interface ClockReading {
  by: ReadingBy
  elapsed_ms: Millis
}
/** Withdrawn says that texts about people were taken out of the game: Texts are their commitments, so that whoever keeps a copy takes them out of it as well, and none comes back with an older one. Lines are those that had texts inside. The chain of hashes goes around them by the hash of what stood there; that what stands there now is the bench's own work is said here, signed with its key. Key and Signature are Ed25519 in base64. */
export interface WithdrawnBody {
  texts: string[]
  lines?: WithdrawnLine[]
  key: string
  signature: string
}
/** WithdrawnLine is an entry whose line has commitments now where it had texts about people. Hash is of the line as it stands now. */
export interface WithdrawnLine {
  entry: string
  hash: string
}
/** Announcement is one thing to say. */
export interface Announcement {
  /** names it and what it says; posted when it was said */
  key: string
  kind: AnnouncementKind
  /** that it is about */
  entry?: string
  at: Moment
  due_abs_ms: Millis
  says: Say[]
  /** read it twice */
  twice: boolean
  /** the referee has not said everything yet */
  waits: boolean
  said: boolean
  /** Again says that it was announced before with other words: a correction. */
  again: boolean
}
/** Moment is a moment of play in every form that a screen needs. */
export interface Moment {
  abs_ms: Millis
  period: number
  elapsed_ms: Millis
  left_ms: Millis
}
/** Args fill the gaps of a sentence, by name. They are a short list and not a map, because a fold writes hundreds of them; in JSON they are an object. */
export interface Args {
  [k: string]: string
}
/** Asking asks what somebody should practise for a seat today. */
export interface Asking {
  results: PracticeResult[]
  name: string
  seat: Seat
  day: PracticeDay
}
/** Result is what is kept of one practice: a name, what was practised, and how it went. Nothing else is known of anybody, and a result can be taken out like a line of a list. */
export interface PracticeResult {
  name: string
  seat: Seat
  /** id */
  script: string
  level: number
  /** a short one: it counts for its skill, not for the bar */
  drill: boolean
  day: PracticeDay
  /** 0 to 100 */
  score: number
  skills: SkillScore[]
  /** Critical are the errors of the seat that spoil a game, each kind once. Results from before these were told apart have none. */
  critical?: Critical[]
}
/** SkillScore is how much of a skill was right, in points. */
export interface SkillScore {
  skill: Skill
  right: number
  of: number
}
/** At is a moment of the game on the axis of play: how much of a period has been played. Overtime periods follow the regulation periods (4 is the first overtime after three periods). Period 0 is before the game. Two entries with the same period and elapsed time belong to the same stoppage; Order tells them apart where the order was put right by hand. */
export interface At {
  period: number
  elapsed_ms: number
  order?: number
}
/** Attempt is a player alone against the goalkeeper. */
export interface Attempt {
  entry: string
  moment: Moment
  side: Side
  player: Jersey
  goalkeeper: Jersey
  scored: boolean
  on: AttemptOn
}
/** AttemptLine is a penalty shot that missed, or an attempt of the shoot-out. */
export interface AttemptLine {
  entry: string
  at: Stamp
  side: Side
  player: Jersey
  goalkeeper: Jersey
  scored: boolean
  shoot_out: boolean
}
/** Stamp is a moment of play as a report writes it: whole seconds, tenths that are left rounded up, so that elapsed and left add up to the period (IIHF 2025/26 Rules 33.2 and 35.6). */
export interface Stamp {
  period: number
  elapsed_ms: number
  left_ms: number
  /** in the form of the document's Times, such as "4:11" */
  text: string
  /** on the axis of play, exact; orders moments */
  abs_ms: number
}
/** BadCode is a code that could not be read. */
export interface BadCode {
  text: string
  why: string
}
/** Beginning is what a practice is begun with. */
export interface Beginning {
  script: string
  seat: Seat
  pace: Pace
  /** the program plays the seat too, and says why */
  watch?: boolean
}
/** Begun is a practice that was begun. */
export interface Begun {
  /** as the screens ask for it */
  game: string
  script: ScriptTitle
  division: Division
  home: RosterTeam
  visitors: RosterTeam
  box: boolean
  cues: Cue[]
}
/** ScriptTitle is a script in a list. */
export interface ScriptTitle {
  id: string
  title: string
  /** its name */
  division: string
  level: number
  /** a drill of one to two minutes */
  short: boolean
  length_ms: Millis
  skills: Skill[]
  clock: ClockMode
  /** by the learner or the coordinator; not part of the program */
  added: boolean
}
/** Cue is something that the learner sees or hears, and that may ask for entries. */
export interface Cue {
  real_ms: Millis
  at: At
  kind: CueKind
  /** whether the game's clock runs from this cue on */
  running: boolean
  why?: CueWhy
  /** of the referee: "goal", "no_goal", "arm_up", "time_out", or the id of a call */
  signal?: string
  side?: Side
  player?: Jersey
  assists?: Jersey[]
  by?: Speaker
  say?: Say
  repeat?: Say
  wait_ms?: Millis
}
/** Bench is how the bench works. */
export interface Bench {
  clock: ClockMode
  confirm_box: boolean
  wait_for_ticks: boolean
  names: boolean
  on_ice: boolean
  face_offs: boolean
  slot_end_ms?: Millis
  /** the clock runs through stoppages */
  running_time: boolean
  drift_ms?: Millis
}
/** Lamp is a lamp of the board as a step leaves it. A lamp stays as it is until a step says otherwise. */
export interface BoardLamp {
  /** in the card's words */
  name: string
  lit: boolean
}
/** Line is a penalty on a line of the board, or beside the board. */
export interface BoardLine {
  /** as the board writes it; "" where it shows none or none is known */
  number: string
  left_ms: Millis
  /** m:ss */
  left: string
  end_abs_ms: Millis
  /** the call; of a player's calls in a row, the last */
  entry: string
  why?: BesideWhy
}
/** Reading is what the rink's board should read at an instant. */
export interface BoardReading {
  /** home, visitors, as the display has it */
  score: [number, number]
  /** the division shows no score */
  no_score?: boolean
  /** the overtime after three periods is 4; 0 before the first */
  period: number
  abs_ms: Millis
  clock_ms: Millis
  /** the same in words, "" where the stage has no clock */
  clock: string
  /**
   */
  sides: [BoardSide, BoardSide]
  /** Hold warns, in an intermission, that the board's penalties would run down: hold them. They must read the same when the period begins. */
  hold_penalties: boolean
  /** Lamps are those of which the steps that were ticked or are left to do say something. */
  lamps?: BoardLamp[]
}
/** Side is the penalties of a side, on the board and beside it. */
export interface BoardSide {
  /** from the top, no line left free between */
  lines: BoardLine[]
  /** what the crew keeps in mind, or on paper */
  beside: BoardLine[]
}
/** Board is what the rink's board can show and what it does by itself. */
export interface BoardType {
  /** a side; 0: it shows no penalties */
  penalty_lines: number
  shows_numbers: boolean
  /** 2: a single digit gets a leading zero */
  number_digits: number
  /** penalties run down there unless held */
  counts_in_intermission: boolean
  /** the game clock shows what is left */
  counts_down: boolean
  /** that a penalty line can show */
  most_minutes: number
  /** Lamps are the names of the lamps that it has besides, with commas between. */
  lamps?: string
}
/** Book is what only the official book keeps. Nothing of it changes who is on the ice. */
export interface Book {
  shots: ShotCount[]
  /** in the order of posting */
  attempts: Attempt[]
  shoot_out?: ShootOut
  /** in the order of the game */
  keepers: KeeperSpell[]
  face_offs: FaceOff[]
  crew: CrewSet
  /** who confirmed each roster; empty: nobody yet */
  confirmed: [string, string]
  /** keys of the announcements that were made */
  said: string[]
  signatures: Signature[]
  /** oldest first */
  seals: Seal[]
  sealed: boolean
  doubles: Double[]
}
/** ShotCount is the shots on goal of a side in a period at one goalkeeper. */
export interface ShotCount {
  period: number
  side: Side
  goalkeeper: Jersey
  count: number
}
/** ShootOut is how a shoot-out stands. Its winner has one goal more in the final score (IIHF 2025/26 Rule 84.4 and NHL Rule 84.4, from memory). */
export interface ShootOut {
  /** home, visitors */
  tries: [number, number]
  /**
   */
  goals: [number, number]
  winner?: Side
  decided: boolean
}
/** KeeperSpell is a goalkeeper, or nobody, in a side's net from a moment on. */
export interface KeeperSpell {
  entry: string
  side: Side
  number: Jersey
  from: Moment
}
/** FaceOff is a face-off that was kept. */
export interface FaceOff {
  entry: string
  moment: Moment
  won: Side
  home: Jersey
  visitors: Jersey
}
/** CrewSet says who officiates on the ice and who works beside it. */
export interface CrewSet {
  officials?: Official[]
  crew?: Official[]
}
/** Signature is a signature under the report; the drawing itself stays in the ledger. */
export interface Signature {
  entry: string
  role: Role
  name: string
  code: string
  drawn: boolean
  wall_ms: Millis
}
/** Seal is one closing of the report. */
export interface Seal {
  entry: string
  version: number
  head: string
  replaces?: string
  missing?: string
  seq: number
  wall_ms: Millis
}
/** Double is two entries that look like the same thing, entered from two seats. To make one of them, First is amended to Merged and Second is struck. */
export interface Double {
  /** to set aside where both are right */
  key: string
  first: string
  second: string
  merged: unknown
  merged_kind: Kind
  /** fields in which the two say different things */
  differs: string[]
  say: Say
}
/** Boxed is a penalty at a stoppage. */
export interface Boxed {
  side: Side
  player: Jersey
  sits: Jersey
  part: Part
  left_ms: Millis
  /** it has not begun: it follows another */
  starts: boolean
}
/** Call is a call of the official record. It may have been wiped out by a goal. */
export interface Call {
  entry: string
  moment: Moment
  side: Side
  player: Jersey
  bench: boolean
  call: string
  parts: Part[]
  charged_ms: Millis
  /** called before the first face-off, served from then on */
  warm_up?: boolean
  reasons: Reason[]
}
/** Reason is why something follows: which book is followed, which rule of it, and one plain sentence. */
export interface Reason {
  code: string
  rule: string
  say: Say
}
/** CallName is an infraction of a code. Its name in words is the message "call.<id>" of the catalogue. */
export interface CallName {
  id: string
  /** the parts most often imposed */
  usual: Part[]
  /** a stick foul, where a book counts those */
  stick: boolean
}
/** CardChecked is what there is to say of a card that somebody fills in. */
export interface CardChecked {
  id: string
  /** the file; empty while there are faults */
  text: string
  faults: CardFault[]
  /** what the volunteer will see */
  seen: RinkCardSeen[]
  /** row by row */
  keys: string[][]
  /** of every happening, in the order in which they are done */
  gaps: CardGaps[]
  /** what does not fit on paper, in words; the card can be used all the same */
  paper: string[]
}
/** CardFault is what is wrong with a field, and what to do. */
export interface CardFault {
  field: string
  why: string
}
/** Seen is what the volunteer will see at a happening, with an example's values. */
export interface RinkCardSeen {
  when: RinkCardWhen
  steps: RinkCardSeenStep[]
}
/** SeenStep is one step of it. */
export interface RinkCardSeenStep {
  text: string
  keys: KeyPress[]
  /** of the board, as they are then */
  lamps?: BoardLamp[]
}
/** KeyPress is a key to be pressed, and what the display should read then. */
export interface KeyPress {
  key: string
  /** "": the card does not say */
  shows?: string
}
/** CardGaps are what can be filled into the steps of a happening. */
export interface CardGaps {
  when: RinkCardWhen
  gaps: string[]
}
/** CardText is a rink card as its file. An empty text is a card on which nothing was said. */
export interface CardText {
  /** of the file, or of the rink */
  name: string
  text: string
  /** of the association that wrote the site */
  own?: boolean
}
/** CardTexts are the rink cards that come with the program. */
export interface CardTexts {
  cards: CardText[]
}
/** Charges are the minutes written in the record for penalties whose record differs from the time served, in milliseconds. */
export interface Charges {
  game_misconduct_ms: Millis
  match_ms: Millis
}
/** Choice answers a question that the book leaves to a captain. Question is the id that the fold gave it; Picks are the players, in the order named. */
export interface Choice {
  question: string
  picks: Jersey[]
}
/** Cited is a rule number with the place where it was read. */
export interface Cited {
  rule: string
  source: string
}
/** Clock is the clock of the stage: Elapsed was on it at the instant Wall. While it runs, elapsed grows with the wall clock up to Length. */
export interface Clock {
  running: boolean
  elapsed_ms: Millis
  wall_ms: Millis
  length_ms: Millis
  error_ms: Millis
  doubt?: Doubt
}
/** Doubt is why nobody knows what the clock shows. */
export interface Doubt {
  entry: string
  from_wall_ms: Millis
  asleep_ms: Millis
  why?: DoubtWhy
  step_ms?: Millis
  kept_wall_ms?: Millis
  found_wall_ms?: Millis
  readings?: ClockReading[]
}
/** Code is a rule body's penalty rules. Bodies differ mostly in numbers; the few places where they differ in kind are the Policies. Rules names the rule behind each kind of consequence, so that every reason can cite it. */
export interface Code {
  id: string
  name: string
  body: string
  edition: string
  lengths: PenaltyLengths
  charges: Charges
  policies: Policies
  calls: CallName[]
  rules: {
    [k: string]: Cited
  }
}
/** Policies are the places where bodies differ in kind. */
export interface Policies {
  one_minor_each: OneMinorEach
  matched_pick: WhoChooses
  same_end: WhoChooses
  /** SignalledCounts treats a signalled minor as one with its whole time left: a goal against a side that would become short by it ends the minor with the least time left, and a goal of a short-handed side wipes out none. */
  signalled_counts: boolean
  /** SignalledShotMinor says that a penalty shot signalled against a side that is short by a minor is served as its minor when a goal is scored. */
  signalled_shot_minor: boolean
  late_window_ms: Millis
  /** AwardedGoalEnds says that an awarded goal ends a minor like any goal. */
  awarded_goal_ends: boolean
  /** MatchApart pairs majors with majors and matches with matches before a major is paired with a match. */
  match_apart: boolean
  /** EjectedSits says that a substitute sits for an ejected player's major. Where it is false the skater joins from the bench when the time is up. */
  ejected_sits: boolean
  /** MisconductsToEject is the number of misconducts in a game that ejects a player, so that none is served. 0: the book has no such rule. */
  misconducts_to_eject: number
  second_misconduct: SecondMisconduct
  /** MajorsToEject is the number of a player's majors in a game with which the referee adds a game misconduct. 0: the book has no such rule. */
  majors_to_eject: number
  /** PenaltiesToEject is the number of a player's penalties in a game with which the player is sent off. 0: the book has no such rule. */
  penalties_to_eject: number
  /** TeamPenalties is the number of a side's penalties in a game with which its head coach misses the next one. 0: the book has no such rule. */
  team_penalties: number
  /** StickFoulsToEject is the number of a player's stick fouls in a game with which the player is sent off. 0: the book has no such rule. */
  stick_fouls_to_eject: number
}
/** CodesRead is the results that were read, and what could not be. */
export interface CodesRead {
  results: PracticeResult[]
  bad: BadCode[]
}
/** Console is the rink's console in the coordinator's own words. */
export interface Console {
  /** Rows are the names of the keys as they lie, row by row, with commas between. */
  rows: string[]
  /** the key that takes back what was typed */
  clear?: string
  /** what the display reads when it does not take a key */
  wrong?: string
  /** Marks are where the keys are on the picture of the console, and Display where its display is. Keys that have no mark are shown in their rows. */
  marks?: KeyMark[]
  display?: KeyMark
}
/** Mark is where something is on the picture of the console: a rectangle in thousandths of the picture's width and height, from its upper left corner. */
export interface KeyMark {
  /** its name; "": the display */
  key?: string
  x: number
  y: number
  width: number
  height: number
}
export interface ConsoleAct {
  key?: string
  do?: ConsoleDo
  at_ms: Millis
  draft?: boolean
  posted?: unknown[]
}
export interface ConsoleBench {
  entered: number
  board: ConsoleBoard
  agrees: boolean
}
export interface ConsoleBoard {
  on: boolean
  /**
   */
  score: [number, number]
  period: number
  clock_ms: Millis
  /**
   */
  sides: [ConsoleLine[], ConsoleLine[]]
  lamps: string[]
}
export interface ConsoleLine {
  number: string
  left_ms: Millis
  held: boolean
}
/** ConsoleDrill is a drill in a list. */
export interface ConsoleDrill {
  id: string
  steps: number
  /** to be pressed in all; 0: the card has no keys for it */
  keys: number
}
/** ConsoleDrills are the drills that a card has something to do for. */
export interface ConsoleDrills {
  drills: ConsoleDrill[]
}
export interface ConsoleDuty {
  id: string
  say: Say
  done: boolean
}
export interface ConsoleGrade {
  score: number
  slips: ConsoleSlip[]
  again: number
  took_ms: Millis[]
}
export interface ConsoleSlip {
  kind: ConsoleSlipKind
  pressed: string
  wanted: string
  step: string
}
/** ConsolePlay is a drill with all that was done so far. */
export interface ConsolePlay {
  /** the card */
  text: string
  drill: string
  seed: number
  acts: ConsoleAct[]
}
/** ConsoleSeen is how far the drill has come. */
export interface ConsoleSeen {
  seen: ConsoleState
  rink: string
  /** row by row */
  keys: string[][]
  clear: string
  /** penalty lines a side */
  lines: number
  /** that the board has besides, lit or dark */
  lamps: string[]
  /** Marks are where the keys are on the photo of the console, and DisplayAt where its display is. The photo itself stays with the page. */
  marks: KeyMark[]
  display_at?: KeyMark
}
export interface ConsoleState {
  say: Say
  moment: number
  of: number
  steps: RinkCardStep[]
  pressed: number
  next: string
  back: boolean
  display: string
  board: ConsoleBoard
  was?: ConsoleBoard
  duties: ConsoleDuty[]
  bench?: ConsoleBench
  told?: ConsoleSlip
  over: boolean
  grade: ConsoleGrade
}
/** Step is one thing to do on the rink's console. */
export interface RinkCardStep {
  /** what a tick names */
  id: string
  /** steps with the same task belong together */
  task: string
  when: RinkCardWhen
  /** the card's words, filled in */
  text: string
  ticked: boolean
  /** Keys are what is pressed on the console, in its order, where the card says it and every value is known. */
  keys?: KeyPress[]
  /** Lamps are those of the board that the card says something of, as they are when the step is done. */
  lamps?: BoardLamp[]
}
/** ConsoleTable is the bench's own game beside the console, opened where a drill has come to. */
export interface ConsoleTable {
  /** as the screens ask for it; empty: nothing is entered there now */
  game: string
  /** entries that were there before this whistle */
  given: number
  /** and with what was posted at it */
  seq: number
  now_ms: Millis
}
/** Contact is somebody to call. */
export interface Contact {
  who: string
  call: string
}
/** Correction is one amendment or strike. */
export interface Correction {
  entry: string
  of: string
  wall_ms: Millis
  by?: string
  struck: boolean
  reason?: string
  say: Say
}
/** Corrections counts what was put right, and lists what. */
export interface Corrections {
  amended: number
  struck: number
  list: Correction[]
}
/** CriticalError is a critical error of a practice, and how often it happened. */
export interface CriticalError {
  kind: Critical
  count: number
  say: Say
}
/** Deed is something that the learner does beside the ledger. */
export interface Deed {
  do: Do
  side?: Side
  player?: Jersey
}
/** DelayClock is a delay that was begun at the instant Wall. It counts down from Length, or up if Length is 0, until it is ended or the clock is started. */
export interface DelayClock {
  why: DelayWhy
  wall_ms: Millis
  length_ms: Millis
}
/** DelayLine is a delay of the game. */
export interface DelayLine {
  entry: string
  at: Stamp
  wall_ms: Millis
  why: DelayWhy
}
/** Doing is something that the program did while somebody watches: an entry in words, and the first thing that follows from it. */
export interface Doing {
  kind: Kind
  /** of somebody at the box: they sat down, and did not leave */
  in: boolean
  say: Say
  why?: Reason
}
/** Due is a skill that should be practised. */
export interface Due {
  skill: Skill
  drill: string
  since: PracticeDay
  why: Say
}
/** What every entry has. */
export interface EntryCommon {
  specversion: '1.0'
  /** ULID made where the entry was entered: the idempotency key */
  id: string
  /** /game/ and the id of the game */
  source: string
  /** the instant that was touched, UTC with milliseconds */
  time: string
  /** place in the ledger from 1 */
  seq?: number
  seat?: Seat
  /** who entered it, as the bench knows them */
  by?: string
  /** the entry that it amends or strikes */
  of?: string
  /** SHA-256 of the line before it, hexadecimal */
  prev?: string
  /** SHA-256 of the line that this one was put in place of, when texts about people were taken out of it */
  was?: string
}
/** Struck takes the entry named in Of out of the game. Striking a Struck or an Amended entry undoes it. */
export interface StruckBody {
  reason?: string
}
/** FaceOffs are face-offs won and lost by a player. */
export interface FaceOffs {
  won: number
  lost: number
}
/** Finding is something that a careful scorer would point at. */
export interface Finding {
  /** stable: the same mistake in the same place has the same id */
  id: string
  kind: FindingKind
  severity: Severity
  where: Where
  what: Say
  why: Reason
  right: Say
}
/** Where is the place of a finding. */
export interface Where {
  /** of the file, from 1 */
  row?: number
  /** of the ledger */
  entry?: string
  period?: number
  /** as the sheet writes times */
  time?: string
  side?: Side
  number?: Jersey
}
/** Found is a seal of the ledger. */
export interface FoundSeal {
  entry: string
  /** of the entry of the seal */
  seq: number
  line: number
  version: number
  /** empty where the text about a person that was signed with it was taken out */
  fingerprint: string
  key: string
  /** the key in short, as people compare it */
  key_name: string
  /** whose key it is, where that is known */
  signer?: string
  /** why something was still owed */
  missing?: string
}
/** Frames is how the rink moves from a cue on. */
export interface Frames {
  frames: RinkFrame[]
}
/** Frame is where everybody is at an instant. Between two frames a screen moves the marks along a line. Whoever is in one frame and not in the next has gone to the bench or into the box. */
export interface RinkFrame {
  real_ms: Millis
  puck: RinkSpot
  referee: RinkSpot
  players: RinkSkater[]
}
/** Spot is a place on the rink in centimetres. */
export interface RinkSpot {
  x: number
  y: number
}
/** Skater is a mark on the rink. */
export interface RinkSkater {
  side: Side
  number: Jersey
  goalkeeper?: boolean
  x: number
  y: number
}
/** Goal is a goal of the official record. */
export interface Goal {
  entry: string
  moment: Moment
  side: Side
  scorer: Jersey
  assists: Jersey[]
  class: Class
  on?: GoalOn
  empty_net: boolean
  own_goal: boolean
  on_ice?: OnIce
  /** on the ice when it was scored */
  skaters: [number, number]
  /** after it */
  score: [number, number]
  reasons: Reason[]
}
/** GoalLine is a goal. */
export interface GoalLine {
  entry: string
  /** of the game, from 1 */
  number: number
  at: Stamp
  side: Side
  scorer: Jersey
  assists: Jersey[]
  unassisted: boolean
  class: Class
  on?: GoalOn
  empty_net: boolean
  own_goal: boolean
  goalkeeper: Jersey
  /**
   */
  skaters: [number, number]
  /** home, visitors; empty where it is not kept */
  on_ice: [Jersey[], Jersey[]]
  /** after it */
  score: [number, number]
  reasons: Reason[]
}
/** GoalkeeperLine are the figures of a goalkeeper. */
export interface GoalkeeperLine {
  side: Side
  number: Jersey
  name?: string
  time_ms: Millis
  shots?: number
  goals_against: number
  saves?: number
  /** SaveShare is saves of shots in thousandths, rounded half up: 923 is .923. */
  save_share?: number
}
/** GoalkeeperLog is a change in goal. An empty Number is an empty net. */
export interface GoalkeeperLog {
  entry: string
  at: Stamp
  side: Side
  number: Jersey
}
/** Grade is what a practice came to. */
export interface Grade {
  script: string
  /** the last cue that was looked at */
  up_to: number
  /** it was the script's last */
  complete: boolean
  /** 0 to 100; 100 is without a slip that counts */
  score: number
  points: number
  possible: number
  skills: SkillScore[]
  /** in the order of the game */
  findings: Slip[]
  /** what spoils a game; any of it caps the score */
  critical: CriticalError[]
  well: Say[]
  /** three things at most: what spoils a game first, then what cost most */
  practise: Advice[]
  times: Times
}
/** Finding is one slip. */
export interface Slip {
  fault: SlipFault
  skill: Skill
  /** the stoppage, by its place in the script's Moments */
  moment: number
  at: At
  /** the entry of the answer that it is about */
  want?: string
  /** the learner's entry that it is about */
  entry?: string
  /** put right later: it was said, and costs nothing */
  finally: boolean
  /** points */
  cost: number
  critical?: Critical
  tenths?: number
  mend: Mend
  say: Say
  reason?: Reason
  right: RightState
}
/** Right is the game as it should stand at a stoppage, once all is entered. */
export interface RightState {
  stage: Stage
  left_ms: Millis
  /**
   */
  score: [number, number]
  /** for the next face-off */
  skaters: [number, number]
  /** home first */
  box: Boxed[]
}
/** Times are the times that were taken, in milliseconds; a list has one time for each stop, start and stoppage that was measured. */
export interface Times {
  /** late by so much; negative: early */
  starts: Millis[]
  stops: Millis[]
  /** from the whistle to READY */
  ready: Millis[]
}
/** Graded is a practice when it is over, or as far as it has come. */
export interface Graded {
  grade: Grade
  script: ScriptTitle
  seat: Seat
  /** of the seat, 0 to 100 */
  score: number
  /** Critical are the errors of the seat that spoil a game. */
  critical: CriticalError[]
}
/** Head is what stands at the top of a report. */
export interface Head {
  /** of the game, as the league counts */
  number?: string
  /** id of the game in the league's schedule */
  schedule?: string
  league?: string
  division: string
  venue?: string
  /** as people write it, YYYY-MM-DD */
  date?: string
  /** id of the rule body's code */
  code: string
  /** its name in words */
  code_name: string
  started_ms?: Millis
  finished_ms?: Millis
  /** the clock ran through stoppages at some time of the game */
  running_clock?: boolean
}
/** Info is what the first entry says about the game. */
export interface Info {
  number?: string
  /** id of the game in the league's schedule */
  schedule?: string
  venue?: string
  date?: string
  /** id of the rule body's code */
  code: string
  /** its name in words */
  code_name: string
}
/** Item is something that holds the puck drop, is asked quietly or is owed to the book. */
export interface Item {
  /** stable, to set it aside */
  key: string
  entry?: string
  say: Say
  /** Settle is what one tap posts to settle it; nothing where it takes more. */
  settle?: {
    [k: string]: unknown
  }
  settle_kind?: Kind
  settle_say?: Say
  aside_say?: Say
  /** further ways to settle it, one tap each */
  others?: Tap[]
  from?: Moment
  /** owed, and set aside until the next break */
  aside?: boolean
}
/** Tap is one more way to settle an item. */
export interface Tap {
  say: Say
  settle: unknown
  settle_kind: Kind
}
/** Kept is a result to be kept, with the code by which it can be sent. */
export interface Kept {
  result: PracticeResult
  code: string
}
/** Leaving is somebody who comes out of the box, or may, and the stretch of play in which every screen says so: from From to Until, both included. A release at a whistle is due until play goes on, one in play for a few seconds beyond it. Whoever was seen leaving by the Box seat is no longer due. */
export interface Leaving {
  moment: Moment
  side: Side
  sits: Jersey
  player: Jersey
  bench: boolean
  term: string
  door: Door
  why: Say
  from_ms: Millis
  until_ms: Millis
}
/** Fault is the first entry that was touched. */
export interface LedgerFault {
  kind: LedgerFaultKind
  /** of the file, from 1; for what is missing: where it should stand */
  line: number
  /** its number in the ledger */
  seq?: number
  /** its id */
  entry?: string
  say: Say
}
/** Verdict is what can be said about a ledger. */
export interface LedgerVerdict {
  game: string
  entries: number
  /** hash of the last entry */
  head: string
  first?: LedgerFault
  /** those that hold, oldest first */
  seals: FoundSeal[]
  /** entries after the last seal, which no seal covers */
  after: number
  /** texts about people that lie beside the ledger; each is the one that was committed to */
  beside: number
  /** texts that are not in the file: taken out, or kept back from whoever made the copy */
  out: number
  /** entries in whose place a line without such texts stands, as the bench's key vouches */
  withdrawn: number[]
  /** entries in whose place such a line stands, and no key vouches for it */
  unvouched: number[]
}
/** What every line has. */
export interface LineCommon {
  entry: string
  seq: number
  moment: Moment
  wall_ms: Millis
  seat: Seat
  by?: string
  /** the entry that it amends or strikes */
  of?: string
  /** the entry that an edit of an edit is about in the end */
  root?: string
  say: Say
  /** consequences, in the order they happen */
  follows: Reason[]
  struck: boolean
  amended: boolean
}
/** Listed is who is ready for what. */
export interface Listed {
  bar: ReadinessBar
  rows: ReadinessRow[]
  table: ReadinessTable
  /** RFC 4180, UTF-8 with a byte order mark */
  csv: string
}
/** Bar is what a coordinator asks for before somebody takes a seat. */
export interface ReadinessBar {
  /** of a hundred, in a practice game */
  score: number
  /** practice games with that score, on different days */
  games: number
  /** of those games, at least */
  level: number
  /** of a hundred, in the newest practice of each skill that the games had */
  skill: number
}
/** Row is a line of the coordinator's list. */
export interface ReadinessRow {
  name: string
  /** in the order of Seats */
  seats: Readiness[]
}
/** Readiness is whether somebody may take a seat. */
export interface Readiness {
  name: string
  seat: Seat
  status: ReadinessStatus
  /** score of a practice game at the bar's level */
  best: number
  /** days with a game over the bar */
  games: number
  /** games of its level that do not count, for an error that spoils a game */
  spoilt?: number
  last: PracticeDay
  /** below the bar */
  weak: Skill[]
  /** Lacks says what is missing until the seat counts as ready; nothing where it does. */
  lacks: Say[]
}
/** Table is the coordinator's list as a neutral document: for a printed page, or for a file of values with commas between. */
export interface ReadinessTable {
  head: Say[]
  rows: ReadinessCell[][]
}
/** Cell is a cell of a table: sentences of the catalogue, or a text of its own. */
export interface ReadinessCell {
  says?: Say[]
  text?: string
}
/** Listing asks who is ready for what. */
export interface Listing {
  results: PracticeResult[]
  bar: ReadinessBar
  day: PracticeDay
}
/** Naming says whose practice it was, and on which day. */
export interface Naming {
  name: string
  day: PracticeDay
}
/** NextStage is a stage that may follow, with the length of its clock. */
export interface NextStage {
  stage: Stage
  length_ms: Millis
  /** whether its clock starts at once */
  running: boolean
}
/** NoteLine is a remark for the book. */
export interface NoteLine {
  entry: string
  at: Stamp
  wall_ms: Millis
  about?: About
  text: string
  side?: Side
  player?: Jersey
}
/** Own is what an association put into its site: rink cards, each with its picture in it, divisions and scripts, as their files. */
export interface Own {
  cards: CardText[]
  divisions: CardText[]
  scripts: CardText[]
}
/** OwnTaken says what of it can be used here. */
export interface OwnTaken {
  rinks: string[]
  divisions: string[]
  scripts: ScriptTitle[]
}
/** Pacing is how fast a practice goes. */
export interface Pacing {
  pace: Pace
}
/** PenaltyLine is one part of a call: every part has a line of its own, also for one player and one incident. */
export interface PenaltyLine {
  entry: string
  /** index of the part within the call */
  part: number
  off: Stamp
  /** called in warm-up: Off is the first face-off */
  warm_up?: boolean
  side: Side
  player: Jersey
  bench: boolean
  served_by: Jersey
  /** id of the infraction; its words are the message "call." and the id */
  call: string
  kind: Part
  length_ms: Millis
  charged_ms: Millis
  start?: Stamp
  end?: Stamp
  on?: Stamp
  how?: Ended
  /** signalled, and wiped out by a goal: written, not served */
  wiped: boolean
  /** coincidental */
  matched: boolean
  /** its start had to wait */
  waited: boolean
  /** not over when the game was, or yet */
  running: boolean
  /** the referee gave it a length of its own */
  given: boolean
  /** the referee's arm was up before the whistle */
  signalled: boolean
}
/** Period is a period that was begun. */
export interface Period {
  /** overtime follows regulation */
  period: number
  stage: Stage
  length_ms: Millis
  abs_ms: Millis
  played_ms: Millis
  /**
   */
  goals: [number, number]
  /** absent where none were kept */
  shots?: [number, number]
}
/** PeriodSpan is a period on the axis of play. Abs is where it begins: the sum of the lengths of the periods before it. */
export interface PeriodSpan {
  period: number
  stage: Stage
  abs_ms: Millis
  length_ms: Millis
  /** of a side at full strength */
  skaters: number
  begun: boolean
}
/** PlusMinus says for a goal whether it counts for plus and minus: goals at even strength and short-handed do; power-play and penalty-shot goals do not (common practice, no source). */
export interface PlusMinus {
  entry: string
  side: Side
  counts: boolean
}
/** Record is a practice to take along: it can be graded again anywhere. */
export interface PracticeRecord {
  /** as a coordinator writes one */
  script: string
  /** one entry a line */
  ledger: string
  acts: Act[]
}
/** Preview is what a tentative entry would do. */
export interface Preview {
  /** the sentence of consequences, in order */
  says: Say[]
  /** accepted, but look again */
  warnings: Say[]
  /** cannot be posted */
  refused: Refusal[]
  state: State
}
/** Refusal is why an entry cannot be posted, and what to do. */
export interface Refusal {
  /** id of the entry refused */
  entry?: string
  field?: string
  say: Say
}
/** State is the game as it should be after the entries of a ledger. It does not know what time it is: the clock is an anchor (a position at an instant), and every consequence that is still to come stands as a moment on the axis of play, as it will be if play goes on without another entry. Whoever shows the state compares those moments with the clock. */
export interface State {
  game: string
  /** the newest entry folded */
  seq: number
  opened: boolean
  info: Info
  division: Division
  stage: Stage
  /** what the stage can become; the first is the usual one */
  next: NextStage[]
  clock: Clock
  time_out?: TimeOutClock
  delay?: DelayClock
  bench: Bench
  periods: PeriodSpan[]
  /** home, visitors */
  teams: [Team, Team]
  /** in the order of the game */
  goals: Goal[]
  calls: Call[]
  terms: Term[]
  /** steps of the skaters on the ice, oldest first */
  strength: Strength[]
  /** who leaves the box when, oldest first */
  releases: Release[]
  /** those of them that somebody has to be told of, now or later */
  due?: Leaving[]
  /** what stands in the way of the puck drop */
  hold: Item[]
  /** what may soon have to be done; quiet */
  notices: Item[]
  /** what is missing before the report can be sealed */
  owed: Item[]
  /** what the book leaves to a captain */
  asked: Question[]
  book: Book
  /** the ledger in words, oldest first */
  lines: Line[]
}
/** TimeOutClock is a time-out that was begun at the instant Wall. It is over after Length, or when the clock is started again. */
export interface TimeOutClock {
  side?: Side
  wall_ms: Millis
  length_ms: Millis
}
/** Team is a side as it stands. */
export interface Team {
  side: Side
  name: string
  players: Player[]
  staff: Official[]
  score: number
  /** the score for the public display, where a division caps the lead */
  shown: number
  /** taken */
  time_outs: number
  goalkeeper: Jersey
  net_empty: boolean
  /** Withdrawn are the numbers of players whose name was taken out of the game. */
  withdrawn?: Jersey[]
  /** of the club, as it was entered */
  colour?: string
}
/** Term is one part of a call as it is served. */
export interface Term {
  /** entry, slash, index of the part */
  id: string
  entry: string
  /** terms with the same row follow one another on one line of a lane */
  row: string
  side: Side
  player: Jersey
  bench: boolean
  sits: Jersey
  part: Part
  call: string
  length_ms: Millis
  start: Moment
  end: Moment
  resumed?: Moment
  ended: Ended
  cut_ms: Millis
  /** the side plays with a skater fewer while it runs */
  costs: boolean
  /** a goal against a short-handed side may end it */
  goal_ends: boolean
  /** coincidental */
  matched: boolean
  /** shown by a penalty clock */
  on_clock: boolean
  /** its start had to wait for another penalty to end */
  waits: boolean
  door: Door
  out?: Moment
  reasons: Reason[]
}
/** Strength is the number of skaters on the ice from a moment on, goalkeepers not counted. Entries of the future hold if play goes on without a whistle. */
export interface Strength {
  from: Moment
  /** home, visitors */
  skaters: [number, number]
}
/** Release is somebody leaving the box, or free to leave at the next whistle. */
export interface Release {
  moment: Moment
  side: Side
  /** the last term of the row */
  term: string
  sits: Jersey
  door: Door
  why: Say
}
/** Question is something that the book leaves to a captain. Until it is answered the fold goes on with Default. */
export interface Question {
  id: string
  side: Side
  moment: Moment
  /** must be answered before the puck drops */
  now: boolean
  /** to choose from */
  players: Jersey[]
  /** how many to name */
  count: number
  default: Jersey[]
  answered: boolean
  /** still to be asked at this stoppage */
  open: boolean
  say: Say
  reason: Reason
}
/** Document is the official report of one game, neutral before any format: what a page, a spreadsheet or another program shows of it. It has numbers, names and keys of the catalogue, and no sentence of any language. Lists are never nil, so that they are written as lists in JSON. */
export interface Report {
  /** SchemaID */
  $schema: 'urn:whistlestop:schema:report:1'
  /** of this form, Version */
  version: 1
  /** id of the game */
  game: string
  /** the newest entry that it was made from */
  seq: number
  times: ReportTimes
  head: Head
  /** the game was ended */
  finished: boolean
  score: Score
  /** those that were begun */
  periods: Period[]
  /** home, visitors */
  teams: [Roster, Roster]
  officials: Official[]
  crew: Official[]
  goals: GoalLine[]
  /** each part of a call on a line of its own */
  penalties: PenaltyLine[]
  /** by period, side and goalkeeper; empty where none were kept */
  shots: ShotLine[]
  goalkeepers: GoalkeeperLine[]
  goalkeeper_changes: GoalkeeperLog[]
  time_outs: TimeOutLine[]
  /** penalty shots and the shoot-out */
  attempts: AttemptLine[]
  shoot_out?: ReportShootOut
  /** incidents and remarks */
  notes: NoteLine[]
  /** injuries, ice, equipment */
  delays: DelayLine[]
  totals: Totals
  /** what is still missing */
  owed: Item[]
  corrections: Corrections
  signatures: ReportSignature[]
  /** oldest first; the last one counts */
  seals: ReportSeal[]
  sealed: boolean
  rules: Division
  stoppages: At[]
  choices: Choice[]
}
/** Score is the final score, or the score so far. A shoot-out adds one goal to its winner's side, and to nobody's player (IIHF 2025/26 Rule 84.4). */
export interface Score {
  /** goals scored in play */
  play: [number, number]
  /** with the goal of a shoot-out */
  final: [number, number]
  /** for the public display, where a division caps the lead */
  shown: [number, number]
  winner?: Side
  decided?: DecidedIn
}
/** Roster is a team with everybody who came to the game. */
export interface Roster {
  side: Side
  name: string
  /** by number */
  players: Player[]
  staff: Official[]
  /** who confirmed the roster for the team */
  confirmed?: string
  /** Withdrawn are the numbers of players whose name was taken out of the game. What strangers may read has a dash for them. */
  withdrawn?: Jersey[]
}
/** ShotLine are the shots on goal by a side in a period against one goalkeeper. */
export interface ShotLine {
  period: number
  side: Side
  goalkeeper: Jersey
  shots: number
  goals: number
  saves: number
}
/** TimeOutLine is a time-out. An empty Side is the officials' own. */
export interface TimeOutLine {
  entry: string
  at: Stamp
  side?: Side
  length_ms: Millis
}
/** ShootOut is the outcome of a shoot-out. */
export interface ReportShootOut {
  /**
   */
  goals: [number, number]
  /**
   */
  tries: [number, number]
  winner?: Side
  decided: boolean
}
/** Totals are the official totals of a game, as far as it has been played. */
export interface Totals {
  played_ms: Millis
  /** home, visitors */
  sides: [ReportSide, ReportSide]
  goals: PlusMinus[]
}
/** Side are the totals of one side. */
export interface ReportSide {
  side: Side
  name: string
  goals: number
  goals_by_period: number[]
  /** parts of calls, without what a goal wiped out */
  penalties: number
  penalty_ms: Millis
  power_plays: Advantage
  short_handed: Advantage
  empty_net_goals: number
  /** Kills are the other side's power plays without a goal. Shares are thousandths of the chances; absent where there was no chance. */
  kills: number
  power_play_share?: number
  kill_share?: number
  /** Absent where shots were not kept. Saves are those of this side. */
  shots?: number
  shots_by_period?: number[]
  saves?: number
  face_offs_won?: number
  players: ReportPlayer[]
}
/** Player are the totals of one player. The bench stands under an empty number. */
export interface ReportPlayer {
  number: Jersey
  name?: string
  goals: number
  assists: number
  points: number
  penalties: number
  penalty_ms: Millis
  /** absent where the league does not keep who was on the ice */
  plus_minus?: number
  face_offs?: FaceOffs
}
/** Signature is a signature, drawn or given by name and code. */
export interface ReportSignature {
  entry: string
  role: Role
  name: string
  code?: string
  /** an SVG path */
  drawing?: string
  wall_ms: Millis
}
/** Seal closed the report at some time. */
export interface ReportSeal {
  entry: string
  /** from 1 */
  version: number
  /** hash of the entry before the seal */
  head: string
  replaces?: string
  /** why something is still owed */
  missing?: string
  /** Ed25519, base64 */
  key?: string
  signature?: string
  wall_ms: Millis
  /** Fingerprint is the short form of the seal, as it stands on paper. It takes the ledger to make it. */
  fingerprint: string
}
/** Card is one rink's own list of steps. */
export interface RinkCard {
  id: string
  rink: string
  notes?: string
  board: BoardType
  words: RinkCardWords
  steps: RinkCardSteps[]
  console?: Console
  /** what has to be plugged in, and where */
  plugged?: string[]
  trouble?: Trouble[]
}
/** Words are how the card names what fills a gap. */
export interface RinkCardWords {
  home: string
  visitors: string
  /** who takes a time-out that is no team's */
  officials: string
}
/** Template is the steps of one happening. */
export interface RinkCardSteps {
  when: RinkCardWhen
  do: string[]
  /** Press has the keys of each step, in their order; "" where a step has none. */
  press?: string[]
  /** Lit and Dark have the lamps of the board that are lit, or dark, when the step is done, with commas between; "" where a step says nothing of them. */
  lit?: string[]
  dark?: string[]
}
/** Trouble is what to do when the console or the board shows something. */
export interface Trouble {
  shows: string
  do: string
}
/** Form is a card as somebody fills it in, contacts and all. */
export interface RinkCardForm {
  card: RinkCard
  contacts: Contact[]
  /** Picture is the photo of the console, a JPEG in base64. */
  picture?: string
}
/** View is what a screen shows of the card that is in use. */
export interface RinkCardView {
  id: string
  rink: string
  notes?: string
  /** left to do, in order, with those of a task begun that were ticked */
  steps: RinkCardStep[]
  /** steps that are not ticked */
  waiting: number
  /** the puck drop waits for them */
  holds: boolean
  /** our clock was off by a second or more at this whistle, and nobody has looked at the rest */
  look: boolean
  /** set aside, until the clock is started or something changes again */
  aside: boolean
  board: BoardReading
  type: BoardType
}
/** Finding is a mistake in a roster, or something to look at. */
export interface RosterFinding {
  level: RosterLevel
  /** from 1; 0: the whole roster */
  row?: number
  /** from 1; 0: the whole row */
  column?: number
  field?: RosterField
  say: Say
}
/** ScriptFile is a script to be added: a coordinator's file, or the ledger of a game that was played. */
export interface ScriptFile {
  /** of the file */
  name: string
  text: string
  /** of a ledger: how it is to be practised; 0: 3 */
  level?: number
}
/** ScriptOrder is a script to be made. */
export interface ScriptOrder {
  seed: number
  level: number
  /** none: those of the level */
  skills: Skill[]
  division: string
}
/** Scripts is the scripts that can be practised. */
export interface Scripts {
  scripts: ScriptTitle[]
}
/** Seen is what happened in a practice up to an instant. */
export interface Seen {
  /** cues that are to be shown now, in order */
  shown: number[]
  jump_ms: Millis
  next_ms: Millis
  waits: Waiting
  hint: Hint
  /** what the program did just now, of a practice that is watched */
  doing?: Doing[]
  /** slips can be told: ask for them */
  told: boolean
  /** the practice stands still for slips that were made just now: they are to be told */
  stops: boolean
  /** the puck was just dropped on HOLD: the referee had waited long enough */
  on_hold: boolean
  /** the practice is over: ask for the grade */
  over: boolean
  /** of the newest entry: whoever has seen fewer looks again */
  seq: number
  /** stoppages that are behind */
  done: number
  /** stoppages that there are */
  of: number
  /** the newest that was shown; -1: none */
  cue: number
  /** who sits in the box of the rink now, by the answer, home first */
  box: Boxed[]
  /** whose time is over and who waits to be told to leave */
  released: Boxed[]
}
/** SentCodes is results as they were sent: codes with spaces or lines between. */
export interface SentCodes {
  text: string
}
/** Outlook is a forecast. Instants are milliseconds of Unix time. */
export interface SlotForecast {
  early_ms: Millis
  likely_ms: Millis
  late_ms: Millis
  slot_start_ms: Millis
  slot_end_ms: Millis
  /** the likely end is after the slot's */
  over: boolean
  by_ms: Millis
  notice?: Say
  /** what the division and the referee may do then */
  choices: Say[]
  /** of this game that it is drawn from */
  stoppages: number
  usual_stoppage_ms: Millis
  play_between_ms: Millis
}
/** Today is what somebody should practise, the most urgent first, and how ready they are. */
export interface Today {
  due: Due[]
  ready: Readiness
}
/** Told is the slips of the newest stoppage. */
export interface Told {
  /** none: all was right */
  findings: Slip[]
  /** the practice stands still for them: they were made just now */
  stops: boolean
  /** they are about the start of the clock before this stoppage */
  start: boolean
  moment: number
  right: RightState
}
