package api

import (
	"context"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
)

// Caller is who asks.
type Caller struct {
	Here   bool       // the bench itself
	ID     string     // of the seat's session; empty: no seat
	Seat   entry.Seat // whose work the caller does; empty: nobody's
	Side   entry.Side
	Game   string
	Device string
	// LooksOn is the device that counts in this one's place, where two have one
	// seat that counts.
	LooksOn string
	Address string
	Token   string // what the device showed of a seat, whether it is one or not
	Base    string // the address by which the caller reached the bench
	Secure  bool   // nobody on the network can read along
	// Person and Network are who is signed in at a hub, by their id, and from where.
	Person, Network string
}

// IsSeat reports whether the caller is a seat's device.
func (c Caller) IsSeat() bool { return c.ID != "" }

// Reads reports whether the caller may see more of a game than anybody.
func (c Caller) Reads(game string) bool { return c.Here || c.IsSeat() && c.Game == game }

// Poster is the caller as the bench knows it.
func (c Caller) Poster(saw int) bench.Poster {
	return bench.Poster{Seat: c.Seat, Side: c.Side, Name: c.Device, Saw: saw, LooksOn: c.LooksOn}
}

// Session is what the caller is to the bench.
func (c Caller) Session() Session {
	return Session{
		Here: c.Here, Seat: c.Seat, Side: c.Side, Game: c.Game, Device: c.Device, LooksOn: c.LooksOn, Secure: c.Secure,
	}
}

// Call is a question that is being answered: who asks whom, when,
// and what. A shell
// makes it of what its transport brings, and sends what the operation says about
// its answer the way its transport does.
type Call struct {
	context.Context
	Caller
	*Common
	Words Words                    // of the language that the caller wants
	Now   entry.Millis             // when the question came, by the bench's time
	Part  func(name string) string // of the path
	Query func(name string) string // empty: not said
	// Body reads what was sent, up to the operation's most, in the media type that
	// the operation takes.
	Body func() ([]byte, error)

	// What the answer brings beside its body.
	Status   int    // in place of the operation's usual one; 0: that
	Location string // where what was made is
	Paired   string // the token of the seat that the caller became
	Leaves   bool   // the caller is no seat any more
}

// In returns the game that a call is about.
func (c *Call) In() string { return c.Part("game") }

// Sees is what the caller sees of the game.
func (c *Call) Sees() View { return ViewOf(c.Caller, c.In(), c.Query("view")) }

// Read reads the body as JSON, strictly.
func (c *Call) Read(into any) error {
	raw, err := c.Body()
	if err != nil {
		return err
	}
	if err := Read(raw, into); err != nil {
		return Unread("web.unreadable", "why", Plain(err))
	}
	return nil
}

// File is an answer that is no JSON of a type.
type File struct {
	Raw   []byte
	Media string
	Name  string // under which it is kept; empty: it is not
	Page  bool   // a page with styles of its own
}

// Fits reports whether a path is one of the operation's, and returns its parts by
// their names.
func (o *Operation) Fits(path string) (part func(name string) string, fits bool) {
	pattern, asked := o.Path, path
	for pattern != "" || asked != "" {
		var name, has string
		name, pattern, _ = strings.Cut(pattern, "/")
		has, asked, _ = strings.Cut(asked, "/")
		if name != has && (has == "" || !strings.HasPrefix(name, "{")) {
			return nil, false
		}
	}
	return func(name string) string { return partOf(o.Path, path, name) }, true
}

func partOf(pattern, path, name string) string {
	for pattern != "" {
		var one, has string
		one, pattern, _ = strings.Cut(pattern, "/")
		has, path, _ = strings.Cut(path, "/")
		if one == "{"+name+"}" {
			return has
		}
	}
	return ""
}
