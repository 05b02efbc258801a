package rules

import "whistlestop/game/entry"

// Book is what only the official book keeps. Nothing of it changes who is on
// the ice.
type Book struct {
	Shots      []ShotCount   `json:"shots"`
	Attempts   []Attempt     `json:"attempts"` // in the order of posting
	ShootOut   *ShootOut     `json:"shoot_out,omitempty"`
	Keepers    []KeeperSpell `json:"keepers"` // in the order of the game
	FaceOffs   []FaceOff     `json:"face_offs"`
	Crew       entry.CrewSet `json:"crew"`
	Confirmed  [2]string     `json:"confirmed"` // who confirmed each roster; empty: nobody yet
	Said       []string      `json:"said"`      // keys of the announcements that were made
	Signatures []Signature   `json:"signatures"`
	Seals      []Seal        `json:"seals"` // oldest first
	Sealed     bool          `json:"sealed"`
	Doubles    []Double      `json:"doubles"`
}

// ShotCount is the shots on goal of a side in a period at one goalkeeper.
type ShotCount struct {
	Period     int          `json:"period"`
	Side       entry.Side   `json:"side"`       // that shot
	Goalkeeper entry.Jersey `json:"goalkeeper"` // of the other side; empty: not said, or an empty net
	Count      int          `json:"count"`
}

// Attempt is a player alone against the goalkeeper.
type Attempt struct {
	Entry      string          `json:"entry"`
	Moment     Moment          `json:"moment"`
	Side       entry.Side      `json:"side"`
	Player     entry.Jersey    `json:"player"`
	Goalkeeper entry.Jersey    `json:"goalkeeper"`
	Scored     bool            `json:"scored"`
	On         entry.AttemptOn `json:"on"`
}

// ShootOut is how a shoot-out stands. Its winner has one goal more in the final
// score (IIHF 2025/26 Rule 84.4 and NHL Rule 84.4, from memory).
type ShootOut struct {
	Tries   [2]int     `json:"tries"` // home, visitors
	Goals   [2]int     `json:"goals"`
	Winner  entry.Side `json:"winner,omitempty"`
	Decided bool       `json:"decided"`
}

// KeeperSpell is a goalkeeper, or nobody, in a side's net from a moment on.
type KeeperSpell struct {
	Entry  string       `json:"entry"`
	Side   entry.Side   `json:"side"`
	Number entry.Jersey `json:"number"` // empty: nobody
	From   Moment       `json:"from"`
}

// FaceOff is a face-off that was kept.
type FaceOff struct {
	Entry    string       `json:"entry"`
	Moment   Moment       `json:"moment"`
	Won      entry.Side   `json:"won"`
	Home     entry.Jersey `json:"home"`
	Visitors entry.Jersey `json:"visitors"`
}

// Signature is a signature under the report; the drawing itself stays in the
// ledger.
type Signature struct {
	Entry string       `json:"entry"`
	Role  entry.Role   `json:"role"`
	Name  string       `json:"name"`
	Code  string       `json:"code"`
	Drawn bool         `json:"drawn"`
	Wall  entry.Millis `json:"wall_ms"`
}

// Seal is one closing of the report.
type Seal struct {
	Entry    string       `json:"entry"`
	Version  int          `json:"version"`
	Head     string       `json:"head"`
	Replaces string       `json:"replaces,omitempty"`
	Missing  string       `json:"missing,omitempty"`
	Seq      int          `json:"seq"`
	Wall     entry.Millis `json:"wall_ms"`
}

// Double is two entries that look like the same thing, entered from two seats.
// To make one of them, First is amended to Merged and Second is struck.
type Double struct {
	Key        string     `json:"key"` // to set aside where both are right
	First      string     `json:"first"`
	Second     string     `json:"second"`
	Merged     entry.Body `json:"merged"`
	MergedKind entry.Kind `json:"merged_kind"`
	Differs    []string   `json:"differs"` // fields in which the two say different things
	Say        Say        `json:"say"`
}

// Doubt is why nobody knows what the clock shows.
type Doubt struct {
	Entry  string       `json:"entry"`
	From   entry.Millis `json:"from_wall_ms"` // the last instant at which it was known
	Asleep entry.Millis `json:"asleep_ms"`

	Why      entry.DoubtWhy       `json:"why,omitempty"`
	Step     entry.Millis         `json:"step_ms,omitempty"` // by which the computer's clock was set
	Kept     entry.Millis         `json:"kept_wall_ms,omitempty"`
	Found    entry.Millis         `json:"found_wall_ms,omitempty"`
	Readings []entry.ClockReading `json:"readings,omitempty"`
}

// KeeperAt returns who kept a side's goal when something happened at a moment of
// play: a change at the same whistle comes after it. Known is false where it
// was never said.
func (s *State) KeeperAt(side entry.Side, abs entry.Millis) (number entry.Jersey, known bool) {
	for _, k := range s.Book.Keepers {
		if k.Side == side && (k.From.Abs < abs || k.From.Abs == 0) {
			number, known = k.Number, true
		}
	}
	return number, known
}
