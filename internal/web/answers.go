package web

import (
	"encoding/json"

	"whistlestop/announce"
	"whistlestop/entry"
	"whistlestop/internal/bench"
	"whistlestop/rulebook"
	"whistlestop/rules"
	"whistlestop/slot"
)

// The answers to questions, and what posts are made of. The published
// description of the API is made from these types and their comments.

// healthJSON says whether the bench can keep entries.
type healthJSON struct {
	Status string       `json:"status"` // ok, or failing: entries cannot be kept
	Now    entry.Millis `json:"now_ms"` // milliseconds of Unix time
}

// timeJSON says when a question came and when its answer left, so that whoever
// asks can work out how far its own clock is off.
type timeJSON struct {
	Received entry.Millis `json:"received_ms"` // milliseconds of Unix time
	Sent     entry.Millis `json:"sent_ms"`
}

// divisionsJSON is the divisions that a game can be opened with.
type divisionsJSON struct {
	Divisions []rulebook.Division `json:"divisions"`
}

// codesJSON is the codes that divisions follow.
type codesJSON struct {
	Codes []codeNamesJSON `json:"codes"`
}

// codeNamesJSON is a code as a client needs it: to name the book and offer its
// calls.
type codeNamesJSON struct {
	ID      string              `json:"id"`
	Name    string              `json:"name"`
	Body    string              `json:"body"`
	Edition string              `json:"edition"`
	Calls   []rulebook.CallName `json:"calls"`
}

// gamesJSON is the games of the bench.
type gamesJSON struct {
	Games []bench.Title `json:"games"` // the newest first
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
}

// openedJSON is a game that was opened.
type openedJSON struct {
	ID string `json:"id"`
}

// snapshotJSON is the newest state of a game with the bench's time, to set a
// screen by. The card is the rink card, where one is in use.
type snapshotJSON struct {
	State json.RawMessage `json:"state" contract:"State"`
	Card  json.RawMessage `json:"card,omitempty" contract:"RinkCardView"`
	Now   entry.Millis    `json:"now_ms"`
}

// entriesJSON is entries to be posted or previewed. A draft is an entry without
// seq and prev.
type entriesJSON struct {
	Entries []json.RawMessage `json:"entries" contract:"Entry"`
	Saw     int               `json:"saw,omitempty"` // seq of the state that edits were made from; 0: not said
}

// postedJSON is the state after a post.
type postedJSON struct {
	snapshotJSON
	Posted []string    `json:"posted"`          // ids of the entries, in order
	Notes  []rules.Say `json:"notes,omitempty"` // what the bench changed in them and people should know
}

// endOfSlotJSON is when a game will likely end.
type endOfSlotJSON struct {
	Slot slot.Outlook `json:"slot"`
	Now  entry.Millis `json:"now_ms"`
}

// announcementsJSON is what is to be said over the loudspeaker.
type announcementsJSON struct {
	Announcements []announce.Announcement `json:"announcements"`
	Seq           int                     `json:"seq"` // of the state that they were made from
}

// cardsJSON is the rink cards that are kept.
type cardsJSON struct {
	Cards   []cardFileJSON `json:"cards"`
	Damaged []badCardJSON  `json:"damaged"`
}

// takenOverJSON is games that were taken over from a copy.
type takenOverJSON struct {
	Games []bench.Restored `json:"games"`
	Torn  bool             `json:"torn"` // the copy ended in the middle of a line
}

// beatJSON is the bench's time, as a stream says it every two seconds.
type beatJSON struct {
	Now entry.Millis `json:"now_ms"`
}

// fullJSON is why a stream says nothing more.
type fullJSON struct {
	Detail string `json:"detail"`
}
