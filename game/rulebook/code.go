package rulebook

import "whistlestop/game/entry"

// Code is a rule body's penalty rules. Bodies differ mostly in numbers; the few
// places where they differ in kind are the Policies. Rules names the rule behind
// each kind of consequence, so that every reason can cite it.
type Code struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Body    string `json:"body"`
	Edition string `json:"edition"`

	Lengths  Lengths    `json:"lengths"` // the book's own; a division may shorten them
	Charges  Charges    `json:"charges"`
	Policies Policies   `json:"policies"`
	Calls    []CallName `json:"calls"`

	Rules map[Topic]Cited `json:"rules"`
}

// Charges are the minutes written in the record for penalties whose record
// differs from the time served, in milliseconds.
type Charges struct {
	GameMisconduct entry.Millis `json:"game_misconduct_ms"`
	Match          entry.Millis `json:"match_ms"`
}

// OneMinorEach says how a team's single minor each at one stoppage is played.
type OneMinorEach string

// The two ways.
const (
	// Substitute: both are replaced at once and leave at a stoppage.
	Substitute OneMinorEach = "substitute"
	// FourOnFour: at full strength with nothing else running, both teams play a
	// skater short and neither minor is ended by a goal.
	FourOnFour OneMinorEach = "four_on_four"
)

// WhoChooses says who settles what the book leaves open between two penalties.
type WhoChooses string

// The two ways.
const (
	Captain  WhoChooses = "captain"  // the captain says; the bench asks
	Reported WhoChooses = "reported" // the order in which the penalties were reported
)

// SecondMisconduct says what the misconduct that ejects a player is in the record.
type SecondMisconduct string

// The ways.
const (
	NoSecond SecondMisconduct = "none"    // no misconduct ejects
	Besides  SecondMisconduct = "besides" // it stands, and a game misconduct comes on top
	Instead  SecondMisconduct = "instead" // it is a game misconduct
)

// Policies are the places where bodies differ in kind.
type Policies struct {
	OneMinorEach OneMinorEach `json:"one_minor_each"`

	// MatchedPick says whose penalties stay on the clock where one side has more
	// than the other: by the order reported the first are matched.
	MatchedPick WhoChooses `json:"matched_pick"`

	// SameEnd says who comes out first of two whose time ends together.
	SameEnd WhoChooses `json:"same_end"`

	// SignalledCounts treats a signalled minor as one with its whole time left: a
	// goal against a side that would become short by it ends the minor with the
	// least time left, and a goal of a short-handed side wipes out none.
	SignalledCounts bool `json:"signalled_counts"`

	// SignalledShotMinor says that a penalty shot signalled against a side that is
	// short by a minor is served as its minor when a goal is scored.
	SignalledShotMinor bool `json:"signalled_shot_minor"`

	// LateWindow is how much of regulation may be left for a minor (or double
	// minor) against a major to be played as the difference. 0: never.
	LateWindow entry.Millis `json:"late_window_ms"`

	// AwardedGoalEnds says that an awarded goal ends a minor like any goal.
	AwardedGoalEnds bool `json:"awarded_goal_ends"`

	// MatchApart pairs majors with majors and matches with matches before a
	// major is paired with a match.
	MatchApart bool `json:"match_apart"`

	// EjectedSits says that a substitute sits for an ejected player's major.
	// Where it is false the skater joins from the bench when the time is up.
	EjectedSits bool `json:"ejected_sits"`

	// MisconductsToEject is the number of misconducts in a game that ejects a
	// player, so that none is served. 0: the book has no such rule.
	MisconductsToEject int `json:"misconducts_to_eject"`

	// SecondMisconduct is what that misconduct is in the record.
	SecondMisconduct SecondMisconduct `json:"second_misconduct"`

	// MajorsToEject is the number of a player's majors in a game with which the
	// referee adds a game misconduct. 0: the book has no such rule.
	MajorsToEject int `json:"majors_to_eject"`

	// PenaltiesToEject is the number of a player's penalties in a game with which
	// the player is sent off. 0: the book has no such rule.
	PenaltiesToEject int `json:"penalties_to_eject"`

	// TeamPenalties is the number of a side's penalties in a game with which its
	// head coach misses the next one. 0: the book has no such rule.
	TeamPenalties int `json:"team_penalties"`

	// StickFoulsToEject is the number of a player's stick fouls in a game with
	// which the player is sent off. 0: the book has no such rule.
	StickFoulsToEject int `json:"stick_fouls_to_eject"`
}

// CallName is an infraction of a code. Its name in words is the message
// "call.<id>" of the catalogue.
type CallName struct {
	ID    string       `json:"id"`
	Usual []entry.Part `json:"usual"` // the parts most often imposed
	Stick bool         `json:"stick"` // a stick foul, where a book counts those
}

// Topic is a kind of consequence.
type Topic string

// The topics that a reason can have.
const (
	TopicMinor        Topic = "minor"        // a minor is served without a substitute on the ice
	TopicBenchMinor   Topic = "bench_minor"  // somebody serves it for the team
	TopicDoubleMinor  Topic = "double_minor" // two minors, one after the other
	TopicMajor        Topic = "major"        // served in full, whatever is scored
	TopicMisconduct   Topic = "misconduct"   // ten minutes, substitute on the ice
	TopicMinorAndMore Topic = "minor_and_misconduct"
	TopicEjected      Topic = "ejected"       // game misconduct
	TopicMatch        Topic = "match"         //
	TopicGoalkeeper   Topic = "goalkeeper"    // a teammate serves
	TopicShot         Topic = "penalty_shot"  // nothing is served
	TopicGoalEnds     Topic = "goal_ends"     // a goal ends the minor with least time left
	TopicGoalShot     Topic = "goal_on_shot"  // a goal on a penalty shot ends nothing
	TopicGoalAwarded  Topic = "goal_awarded"  //
	TopicSameEnd      Topic = "same_end"      // two due at the same moment: the captain says
	TopicWiped        Topic = "wiped"         // signalled, wiped out by the goal
	TopicNotWiped     Topic = "not_wiped"     // signalled, but the team was short already
	TopicMatched      Topic = "matched"       // coincidental: substituted at once
	TopicMatchedMajor Topic = "matched_major" //
	TopicMatchedFour  Topic = "matched_four"  // one minor each: four against four
	TopicMatchedPick  Topic = "matched_pick"  // which of a team's penalties is served
	TopicLate         Topic = "late_difference"
	TopicWaits        Topic = "waits" // a third penalty waits
	TopicHeld         Topic = "held"  // nobody leaves while three sit
	TopicMajorFirst   Topic = "major_first"
	TopicMinorFirst   Topic = "minor_first"
	TopicOvertime     Topic = "overtime"        // strength in overtime
	TopicCarried      Topic = "carried"         // a penalty goes on in the next period
	TopicMajors       Topic = "majors_limit"    // so many majors send a player off
	TopicPenalties    Topic = "penalties_limit" // so many penalties do
	TopicMisconducts  Topic = "misconducts_limit"
	TopicTeam         Topic = "team_limit"  // so many penalties of a side: its head coach misses the next game
	TopicStick        Topic = "stick_limit" // so many stick fouls send a player off
)

// topics lists every topic that a code must cite.
var topics = []Topic{
	TopicMinor, TopicBenchMinor, TopicDoubleMinor, TopicMajor, TopicMisconduct, TopicMinorAndMore,
	TopicEjected, TopicMatch, TopicGoalkeeper, TopicShot, TopicGoalEnds, TopicGoalShot,
	TopicGoalAwarded, TopicSameEnd, TopicWiped, TopicNotWiped, TopicMatched, TopicMatchedMajor,
	TopicMatchedFour, TopicMatchedPick, TopicLate, TopicWaits, TopicHeld, TopicMajorFirst,
	TopicMinorFirst, TopicOvertime, TopicCarried, TopicMajors, TopicPenalties,
	TopicMisconducts, TopicTeam, TopicStick,
}

// Cited is a rule number with the place where it was read.
type Cited struct {
	Rule   string `json:"rule" toml:"rule"`
	Source string `json:"source" toml:"source"`
}
