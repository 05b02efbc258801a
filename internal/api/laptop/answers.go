package laptop

import (
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
)

// The answers that only the server gives; those that every bench gives are in
// package api. The published description of the API is made from these types
// and their comments.

// healthJSON says whether the bench can keep entries.
type healthJSON struct {
	Status string       `json:"status"` // ok, or failing: entries cannot be kept
	Now    entry.Millis `json:"now_ms"` // milliseconds of Unix time
}

// openingJSON is a game to be opened.
type openingJSON struct {
	ID       string     `json:"id"` // a ULID that the client made
	Division string     `json:"division"`
	Home     entry.Team `json:"home"`
	Visitors entry.Team `json:"visitors"`
	Number   string     `json:"number,omitempty"`
	Venue    string     `json:"venue,omitempty"`
	Date     string     `json:"date,omitempty"`
	// Schedule is the id of the game in its league's schedule, by which its result is found there.
	Schedule string       `json:"schedule,omitempty"`
	SlotEnd  entry.Millis `json:"slot_end_ms,omitempty"` // when its ice ends, if that is known
}

// openedJSON is a game that was opened.
type openedJSON struct {
	ID string `json:"id"`
}

// cardsJSON is the rink cards that are kept.
type cardsJSON struct {
	Cards   []cardFileJSON `json:"cards"`
	Damaged []api.BadCard  `json:"damaged"`
}

// takenOverJSON is games that were taken over from a copy.
type takenOverJSON struct {
	Games []bench.Restored `json:"games"`
	Torn  bool             `json:"torn"` // the copy ended in the middle of a line
}

// Beat is the bench's time, as a stream says it every two seconds.
type Beat struct {
	Now entry.Millis `json:"now_ms"`
}

// Full is why a stream says nothing more.
type Full struct {
	Detail string `json:"detail"`
}
