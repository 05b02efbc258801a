package api

import (
	"encoding/json"
	"slices"

	"whistlestop/game/announce"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/game/slot"
	"whistlestop/internal/bench"
	"whistlestop/internal/changes"
)

// The answers to questions about a game, and what posts are made of. The
// published description of the API is made from these types and their comments.

// Time says when a question came and when its answer left, so that whoever
// asks can work out how far its own clock is off.
type Time struct {
	Received entry.Millis `json:"received_ms"` // milliseconds of Unix time
	Sent     entry.Millis `json:"sent_ms"`
}

// Divisions is the divisions that a game can be opened with.
type Divisions struct {
	Divisions []rulebook.Division `json:"divisions"`
	Own       []string            `json:"own"`     // ids of those that are the league's own
	Damaged   []BadCard           `json:"damaged"` // files of the league's own that cannot be used
}

// BadCard is a file that cannot be used.
type BadCard struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// Codes is the codes that divisions follow.
type Codes struct {
	Codes []CodeNames `json:"codes"`
}

// CodeNames is a code as a client needs it: to name the book and offer its
// calls.
type CodeNames struct {
	ID      string              `json:"id"`
	Name    string              `json:"name"`
	Body    string              `json:"body"`
	Edition string              `json:"edition"`
	Calls   []rulebook.CallName `json:"calls"`
}

// AllCodes is every code that comes with the program.
func AllCodes() Codes {
	codes := []CodeNames{}
	for _, c := range rulebook.Codes() {
		codes = append(codes, CodeNames{ID: c.ID, Name: c.Name, Body: c.Body, Edition: c.Edition, Calls: c.Calls})
	}
	return Codes{Codes: codes}
}

// Games is the games of the bench.
type Games struct {
	Games []bench.Title `json:"games"` // the newest first
}

// Session says to a page who it is.
type Session struct {
	Here   bool       `json:"here"`                  // this machine: the bench itself
	Seat   entry.Seat `json:"seat" contract:"Seat?"` // empty: not a seat
	Side   entry.Side `json:"side" contract:"Side?"` // empty: both sides
	Game   string     `json:"game"`
	Device string     `json:"device"`
	// LooksOn is the device that counts in this one's place, where two have one
	// seat that counts.
	LooksOn string `json:"looks_on,omitempty"`
	// Secure says that nobody on the network can read along. Without it browsers
	// also keep the wake lock and some other things from the page.
	Secure bool `json:"secure"`
}

// Snapshot is the newest state of a game with the bench's time, to set a
// screen by. The card is the rink card, where one is in use.
type Snapshot struct {
	State  json.RawMessage `json:"state,omitempty" contract:"State"`
	Change *changes.Change `json:"change,omitempty"` // in place of the state, for who has an earlier one
	Card   json.RawMessage `json:"card,omitempty" contract:"RinkCardView"`
	Run    string          `json:"run,omitempty"` // of the bench: with another one nothing goes on from what a client has
	Now    entry.Millis    `json:"now_ms"`
}

// Has says which state a client has, so that only what changed is sent.
type Has struct {
	Have int    `json:"have,omitempty"` // seq of the state; 0: send the whole
	Run  string `json:"run,omitempty"`  // of the bench that it came from
}

// Entries is entries to be posted or previewed. A draft is an entry without
// seq and prev.
type Entries struct {
	Entries []json.RawMessage `json:"entries" contract:"Entry"`
	Saw     int               `json:"saw,omitempty"` // seq of the state that edits were made from; 0: not said
	Has
}

// Previewed is what drafts would do.
type Previewed struct {
	Says     []rules.Say     `json:"says"`                             // the sentence of consequences, in order
	Warnings []rules.Say     `json:"warnings"`                         // accepted, but look again
	Refused  []rules.Refusal `json:"refused"`                          // cannot be posted
	State    json.RawMessage `json:"state,omitempty" contract:"State"` // the game as it would be
	Change   *changes.Change `json:"change,omitempty"`                 // in place of the state, for who has the game as it is
	Run      string          `json:"run,omitempty"`
}

// Posted is the state after a post.
type Posted struct {
	Snapshot
	Posted []string    `json:"posted"`          // ids of the entries, in order
	Notes  []rules.Say `json:"notes,omitempty"` // what the bench changed in them and people should know
}

// EndOfSlot is when a game will likely end.
type EndOfSlot struct {
	Slot slot.Outlook `json:"slot"`
	Now  entry.Millis `json:"now_ms"`
}

// EndOfSlotOf forecasts when a game ends. The seed follows from the newest entry,
// so that the answer does not flicker while nothing happens.
func EndOfSlotOf(s rules.State, now entry.Millis, set slot.Settings) EndOfSlot {
	set.Seed = uint64(s.Seq)
	return EndOfSlot{Slot: slot.Forecast(s, now, set), Now: now}
}

// Announcements is what is to be said over the loudspeaker.
type Announcements struct {
	Announcements []announce.Announcement `json:"announcements"`
	Seq           int                     `json:"seq"` // of the state that they were made from
}

// AnnouncementsOf lists what is to be said over the loudspeaker from a moment of play
// on, in the order of the game.
func AnnouncementsOf(s rules.State, from entry.Millis) Announcements {
	list := slices.DeleteFunc(announce.List(s), func(a announce.Announcement) bool { return a.Due < from })
	return Announcements{Announcements: list, Seq: s.Seq}
}
