package audit

import (
	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Severity says how sure the audit is.
type Severity string

// The severities, the gravest first.
const (
	Wrong Severity = "wrong" // it cannot be as it stands
	Look  Severity = "look"  // it can be, and rarely is: look again
	Owed  Severity = "owed"  // it is missing
)

// Finding is something that a careful scorer would point at.
type Finding struct {
	ID       string       `json:"id"` // stable: the same mistake in the same place has the same id
	Kind     Kind         `json:"kind"`
	Severity Severity     `json:"severity"`
	Where    Where        `json:"where"`
	What     rules.Say    `json:"what"`  // what stands there, and what is wrong with it
	Why      rules.Reason `json:"why"`   // with the rule, where there is one
	Right    rules.Say    `json:"right"` // what would make it right
}

// Where is the place of a finding.
type Where struct {
	Row    int          `json:"row,omitempty"`   // of the file, from 1
	Entry  string       `json:"entry,omitempty"` // of the ledger
	Period int          `json:"period,omitempty"`
	Time   string       `json:"time,omitempty"` // as the sheet writes times
	Side   entry.Side   `json:"side,omitempty"`
	Number entry.Jersey `json:"number,omitempty"`
}

// Kind names what is wrong. Each has its words in the catalogue: audit.what,
// audit.why and audit.right.
type Kind string

// Every kind of finding.
const (
	TimeMissing   Kind = "time_missing"
	TimeOutside   Kind = "time_outside"
	PeriodUnknown Kind = "period_unknown"
	OutOfOrder    Kind = "out_of_order"
	TimesReversed Kind = "times_reversed"

	GoalClass      Kind = "goal_class"
	GoalScore      Kind = "goal_score"
	GoalTwice      Kind = "goal_twice"
	GoalAfterEnd   Kind = "goal_after_end"
	GoalGoalkeeper Kind = "goal_goalkeeper"
	EmptyNetKept   Kind = "empty_net_kept"
	EmptyNetUnsaid Kind = "empty_net_unsaid"
	ShotAssisted   Kind = "shot_assisted"
	OwnAssisted    Kind = "own_assisted"
	AssistsMany    Kind = "assists_many"
	AssistSelf     Kind = "assist_self"
	AssistTwice    Kind = "assist_twice"
	ScorerMissing  Kind = "scorer_missing"
	AssistMissing  Kind = "assist_missing"
	GoalLimit      Kind = "goal_limit"
	OnIceScorer    Kind = "on_ice_scorer"
	OnIceMany      Kind = "on_ice_many"

	NumberUnlisted Kind = "number_unlisted"
	AwayTakesPart  Kind = "away_takes_part"
	InBox          Kind = "in_box"
	CalledInBox    Kind = "called_in_box"
	OutTakesPart   Kind = "out_takes_part"

	PlayerMissing  Kind = "player_missing"
	CallMissing    Kind = "call_missing"
	ServerMissing  Kind = "server_missing"
	ServerSits     Kind = "server_sits"
	ServerKeeps    Kind = "server_keeps"
	Minutes        Kind = "minutes"
	StartTime      Kind = "start_time"
	ReleaseTime    Kind = "release_time"
	EndMissing     Kind = "end_missing"
	EjectionUnsaid Kind = "ejection_unsaid"

	TotalWrong       Kind = "total"
	ScoreWrong       Kind = "score"
	ShotsBelowGoals  Kind = "shots_below_goals"
	PlayerTotal      Kind = "player_total"
	GoalkeeperTime   Kind = "goalkeeper_time"
	GoalkeeperSaves  Kind = "goalkeeper_saves"
	GoalkeeperGoals  Kind = "goalkeeper_goals"
	GoalkeeperShots  Kind = "goalkeeper_shots"
	GoalkeepersTwo   Kind = "goalkeepers_two"
	GoalkeeperListed Kind = "goalkeeper_listed"

	NumberTwice      Kind = "number_twice"
	CaptainsMany     Kind = "captains_many"
	AlternatesMany   Kind = "alternates_many"
	CaptainKeeps     Kind = "captain_keeps"
	RosterLong       Kind = "roster_long"
	RosterShort      Kind = "roster_short"
	GoalkeepersMany  Kind = "goalkeepers_many"
	TimeOutsMany     Kind = "time_outs_many"
	OvertimeUntied   Kind = "overtime_untied"
	ShootOutUntied   Kind = "shoot_out_untied"
	ShootOutWinner   Kind = "shoot_out_winner"
	ChoiceUnanswered Kind = "choice_unanswered"
)

// fact is how sure a kind is and where its rule stands. A rule without a book
// is that of the game's own code, and comes with the finding.
type fact struct {
	kind     Kind
	severity Severity
	book     string // id of the code whose book states it
	rule     string
}

// facts lists every kind, in the order of a report. Kinds without a book are
// arithmetic, or common practice without a source.
var facts = []fact{
	{NumberTwice, Wrong, "iihf", "9.1"},
	{CaptainsMany, Wrong, "iihf", "6.1"},
	{AlternatesMany, Look, "iihf", "6.1"},
	{CaptainKeeps, Look, "iihf", "6.1"},
	{RosterLong, Wrong, "", ""},
	{RosterShort, Look, "", ""},
	{GoalkeepersMany, Look, "iihf", "5.1"},

	{TimesReversed, Look, "", ""},
	{TimeMissing, Owed, "", ""},
	{PeriodUnknown, Wrong, "", ""},
	{TimeOutside, Wrong, "", ""},
	{OutOfOrder, Look, "", ""},
	{NumberUnlisted, Wrong, "usah-youth", "203(a)"},
	{AwayTakesPart, Wrong, "iihf", "5.2"},
	{OutTakesPart, Wrong, "iihf", "23.1"},
	{InBox, Wrong, "", ""},

	{GoalTwice, Wrong, "", ""},
	{GoalClass, Wrong, "", ""},
	{GoalScore, Wrong, "", ""},
	{GoalAfterEnd, Wrong, "", ""},
	{ScorerMissing, Owed, "iihf", "78.2"},
	{AssistMissing, Owed, "iihf", "78.3"},
	{AssistsMany, Wrong, "iihf", "78.3"},
	{AssistSelf, Wrong, "iihf", "78.3"},
	{AssistTwice, Wrong, "iihf", "78.3"},
	{ShotAssisted, Look, "", ""},
	{OwnAssisted, Look, "iihf", "78.4"},
	{GoalGoalkeeper, Wrong, "", ""},
	{EmptyNetKept, Look, "", ""},
	{EmptyNetUnsaid, Look, "usah-youth", "505(b)"},
	{GoalLimit, Look, "", ""},
	{OnIceScorer, Wrong, "", ""},
	{OnIceMany, Wrong, "", ""},

	{PlayerMissing, Owed, "usah-youth", "507(a)"},
	{CallMissing, Owed, "usah-youth", "507(a)"},
	{CalledInBox, Look, "", ""},
	{ServerMissing, Owed, "", ""},
	{ServerSits, Wrong, "iihf", "27.1"},
	{ServerKeeps, Wrong, "iihf", "17.1"},
	{Minutes, Wrong, "", ""},
	{StartTime, Wrong, "", ""},
	{ReleaseTime, Wrong, "", ""},
	{EndMissing, Owed, "", ""},
	{EjectionUnsaid, Wrong, "", ""},
	{ChoiceUnanswered, Owed, "", ""},

	{TotalWrong, Wrong, "", ""},
	{ScoreWrong, Wrong, "", ""},
	{PlayerTotal, Wrong, "", ""},
	{ShotsBelowGoals, Wrong, "", ""},
	{GoalkeeperListed, Look, "", ""},
	{GoalkeepersTwo, Wrong, "", ""},
	{GoalkeeperTime, Wrong, "", ""},
	{GoalkeeperShots, Wrong, "", ""},
	{GoalkeeperGoals, Wrong, "", ""},
	{GoalkeeperSaves, Wrong, "", ""},
	{TimeOutsMany, Look, "", ""},
	{OvertimeUntied, Wrong, "", ""},
	{ShootOutUntied, Wrong, "iihf", "84.4"},
	{ShootOutWinner, Wrong, "iihf", "84.4"},
}

// Kinds lists every kind of finding with its severity, in the order of a report.
func Kinds() []KindInfo {
	all := make([]KindInfo, len(facts))
	for i, f := range facts {
		all[i] = KindInfo{Kind: f.kind, Severity: f.severity, Book: f.book, Rule: f.rule}
	}
	return all
}

// KindInfo is a kind of finding with its severity and the rule behind it, if a
// book states one.
type KindInfo struct {
	Kind     Kind     `json:"kind"`
	Severity Severity `json:"severity"`
	Book     string   `json:"book,omitempty"`
	Rule     string   `json:"rule,omitempty"`
}
