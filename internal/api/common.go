package api

import (
	"context"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/slot"
	"whistlestop/internal/bench"
)

// Live is the games of a bench.
type Live interface {
	Now() entry.Millis
	Games(context.Context) ([]bench.Title, error)
	State(ctx context.Context, game string) (bench.Update, error)
	Ledger(ctx context.Context, game string) ([]entry.Entry, error)
	Preview(ctx context.Context, game string, drafts []entry.Entry) (bench.Considered, error)
	PostFrom(ctx context.Context, game string, drafts []entry.Entry, from bench.Poster) (bench.Reply, error)
}

// Common is what every bench answers, whatever its shell.
type Common struct {
	Live  Live
	Views Cuts
	// League returns a league's own divisions, and the files of it that cannot be
	// used, with the reason in words. It may be nil: there are none.
	League func(Words) (own []rulebook.Division, damaged []BadCard)
}

// view is how whoever sees more asks for what anybody may see.
var view = []Parameter{{Name: "view", About: "public asks for what anybody may see, whoever asks", Values: []string{"public"}}}

// Operations are the rows of the table that every shell has. They are no code, so
// that an engine in a browser stays small.
func Operations() []Operation { return operations }

var operations = []Operation{
	{Method: "GET", Path: "/api/time", Open: true, Handler: Handler{Gives: Time{}, Do: (*Call).time},
		About: "Says the bench's time, to measure a clock against.",
		Query: []Parameter{{Name: "sent", About: "anything; keeps answers out of caches"}}},
	{Method: "GET", Path: "/api/session", Game: true, Handler: Handler{Gives: Session{}, Do: (*Call).session}, About: "Says to a device who it is at the bench."},
	{Method: "GET", Path: "/api/divisions", Handler: Handler{Gives: Divisions{}, Do: (*Call).divisions},
		About: "Lists the divisions that a game can be opened with."},
	{Method: "GET", Path: "/api/codes", Handler: Handler{Gives: Codes{}, Do: (*Call).codes}, About: "Lists the codes that divisions follow, with their calls."},
	{Method: "GET", Path: "/api/games", Game: true, Handler: Handler{Gives: Games{}, Do: (*Call).games}, About: "Lists the games, the newest first."},
	{Method: "GET", Path: "/api/games/{game}", Game: true, Open: true, Handler: Handler{Gives: Snapshot{}, Do: (*Call).state}, Query: view,
		About: "The newest state of a game: whole for the bench and the Book, what its work needs for every other seat of the game, " +
			"the public view for everybody else."},
	{Method: "GET", Path: "/api/games/{game}/ledger.jsonl", Game: true, Who: GameSeats, Reading: bench.ReadCopy,
		Handler: Handler{GivesMedia: "application/jsonl", Do: (*Call).ledger},
		About: "The ledger of a game, one entry a line. After an entry come the texts about people that lie beside it, each on a line, " +
			"as far as whoever asks may see them.",
		Query: []Parameter{
			{Name: "after", About: "only the lines after the entry with this number"},
			{Name: "texts", About: "inside: each entry with its texts in it, to read; not to be kept, since it is in no chain", Values: []string{"inside"}},
		}},
	{Method: "GET", Path: "/api/games/{game}/slot", Game: true, Who: GameSeats, Reading: bench.ReadSlot, Handler: Handler{Gives: EndOfSlot{}, Do: (*Call).slot},
		About: "When the game will likely end.",
		Query: []Parameter{
			{Name: "start_ms", About: "start of the ice slot, milliseconds of Unix time"},
			{Name: "length_ms", About: "length of the ice slot, milliseconds"},
		}},
	{Method: "GET", Path: "/api/games/{game}/announcements", Game: true, Who: GameSeats, Reading: bench.ReadAnnouncements,
		Handler: Handler{Gives: Announcements{}, Do: (*Call).announcements}, About: "What is to be said over the loudspeaker.",
		Query: []Parameter{{Name: "from", About: "only what is due at this moment of play or later, in milliseconds"}}},
	{Method: "POST", Path: "/api/games/{game}/preview", Game: true, Who: GameSeats, Handler: Handler{Takes: Entries{}, Gives: Previewed{}, Do: (*Call).preview},
		About: "Says what drafts would do, and changes nothing."},
	{Method: "POST", Path: "/api/games/{game}/entries", Game: true, Who: GameSeats, Handler: Handler{Takes: Entries{}, Gives: Posted{}, Do: (*Call).post},
		About: "Posts entries, all or none. Posting the same ids again changes nothing and is answered as before. An edit of an " +
			"entry that was edited after the state with the number saw is refused with both versions (409, stale). " +
			"Whoever says which state it has (have and run) is answered with what changed. A device posts as its seat, whatever the entries say."},
}

// time answers when the question came and when the answer left, so that whoever
// asks can work out how far its own clock is off.
func (c *Call) time() (any, error) { return Time{Received: c.Now, Sent: c.Live.Now()}, nil }

func (c *Call) session() (any, error) { return c.Session(), nil }

func (c *Call) codes() (any, error) { return AllCodes(), nil }

func (c *Call) divisions() (any, error) { return c.Divisions(), nil }

// Divisions lists the divisions that come with the program, then those of the
// league's own.
func (c *Call) Divisions() Divisions {
	list := Divisions{Divisions: rulebook.Divisions(), Own: []string{}, Damaged: []BadCard{}}
	if c.Common == nil || c.League == nil { // a hub has no bench, and no divisions of its own
		return list
	}
	own, damaged := c.League(c.Words)
	for _, d := range own {
		list.Own = append(list.Own, d.ID)
	}
	list.Divisions, list.Damaged = append(list.Divisions, own...), append(list.Damaged, damaged...)
	return list
}

func (c *Call) games() (any, error) {
	titles, err := c.Live.Games(c)
	return Games{Games: titles}, err
}

func (c *Call) state() (any, error) {
	update, err := c.Live.State(c, c.In())
	if err != nil {
		return nil, err
	}
	return c.Snapshot(update, Has{})
}

// Snapshot is an update as whoever asked may see it: what changed, where they say
// which state they have.
func (c *Call) Snapshot(u bench.Update, has Has) (Snapshot, error) {
	snapshot, err := c.Views.State(c, u, has)
	snapshot.Now = c.Live.Now()
	return snapshot, err
}

// ledger answers with the lines of the ledger; with after=n only those after the
// nth, for whoever keeps a copy. With texts=inside the entries are written for
// reading: each with its texts, and in no chain.
func (c *Call) ledger() (any, error) {
	after, err := c.number("after")
	if err != nil {
		return nil, err
	}
	ledger, err := c.Live.Ledger(c, c.In())
	if err != nil {
		return nil, err
	}
	lines, err := c.Views.Lines(c, ledger[min(after, len(ledger)):], c.Query("texts") == "inside")
	return File{Raw: lines, Media: "application/jsonl; charset=utf-8"}, err
}

// number is what a query says, from 0 on; 0 where it says nothing.
func (c *Call) number(name string) (int, error) {
	text := c.Query(name)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		return 0, Unread("web.no_number", "text", Clip(text))
	}
	return n, nil
}

// announcements lists what is to be said over the loudspeaker; with from=n only what
// is due at that moment of play or later. It has names, so only the bench and its
// seats may ask.
func (c *Call) announcements() (any, error) {
	from, err := c.number("from")
	if err != nil {
		return nil, err
	}
	update, err := c.Live.State(c, c.In())
	if err != nil {
		return nil, err
	}
	return AnnouncementsOf(update.State, entry.Millis(from)), nil
}

// The farthest that a slot that is asked for may lie from now, and its longest.
const (
	slotFar     = entry.Millis(7 * 24 * time.Hour / time.Millisecond)
	slotLongest = entry.Millis(24 * time.Hour / time.Millisecond)
)

// slot answers when a game will likely end.
func (c *Call) slot() (any, error) {
	now, set := c.Now, slot.Settings{}
	for _, ask := range []struct {
		name        string
		into        *entry.Millis
		least, most entry.Millis
	}{
		{"start_ms", &set.SlotStart, now - slotFar, now + slotFar},
		{"length_ms", &set.SlotLength, 60_000, slotLongest},
	} {
		text := c.Query(ask.name)
		if text == "" {
			continue
		}
		value, err := strconv.ParseInt(text, 10, 64)
		if err != nil || entry.Millis(value) < ask.least || entry.Millis(value) > ask.most {
			return nil, Unread("slot.not_asked", "name", ask.name, "text", Clip(text))
		}
		*ask.into = entry.Millis(value)
	}
	update, err := c.Live.State(c, c.In())
	if err != nil {
		return nil, err
	}
	return EndOfSlotOf(update.State, now, set), nil
}

func (c *Call) preview() (any, error) {
	var in Entries
	if err := c.Read(&in); err != nil {
		return nil, err
	}
	drafts, err := in.Drafts()
	if err != nil {
		return nil, err
	}
	considered, err := c.Live.Preview(c, c.In(), drafts)
	if err != nil {
		return nil, err
	}
	would, err := c.Views.Would(c, considered, in.Has)
	return Previewed{
		Run: would.Run, Says: considered.Says, Warnings: considered.Warnings, Refused: InWords(c.Words, considered.Refused),
		State: would.State, Change: would.Change,
	}, err
}

func (c *Call) post() (any, error) {
	var in Entries
	if err := c.Read(&in); err != nil {
		return nil, err
	}
	drafts, err := in.Drafts()
	if err != nil {
		return nil, err
	}
	reply, err := c.Live.PostFrom(c, c.In(), drafts, c.Poster(in.Saw))
	if err != nil {
		return nil, c.Views.Said(c, err)
	}
	posted := Posted{Posted: reply.Posted, Notes: reply.Notes}
	posted.Snapshot, err = c.Snapshot(reply.Update, in.Has)
	return posted, err
}
