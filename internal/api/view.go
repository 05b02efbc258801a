package api

import (
	"crypto/rand"
	"errors"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
	"whistlestop/internal/changes"
)

// View is what of a game a reader may see: guests the public view, each seat what
// its work needs, the bench everything.
type View struct {
	All  bool
	Seat entry.Seat // empty: not a seat
}

// public is the view of whoever is neither the bench nor a seat of the game.
var public = View{}

// ViewOf is the view of whoever asks about a game. The Wall and Follow ask for the
// public one whoever they are.
func ViewOf(c Caller, game, asked string) View {
	switch {
	case asked == "public" || !c.Reads(game):
		return public
	case c.Here || c.Seat == "":
		return View{All: c.Here}
	default:
		return View{Seat: c.Seat}
	}
}

// inside reports whether the reader is the bench or a seat.
func (v View) inside() bool { return v.All || v.Seat != "" }

// May reports whether the reader may see a part of the game.
func (v View) May(r bench.Reading) bool { return v.All || v.Seat != "" && bench.Reads(v.Seat, r) }

// Whole reports whether nothing is cut from what the reader sees.
func (v View) Whole() bool {
	return v.May(bench.ReadNames) && v.May(bench.ReadNotes) && v.May(bench.ReadPeople)
}

// state is the state as the reader may see it.
func (v View) state(s rules.State) rules.State {
	switch {
	case !v.inside():
		return Public(s)
	case v.Whole():
		return s
	default:
		return SeatView(s, v.Seat)
	}
}

// doc is the state as the reader may see it, in parts. Before is the one that the
// reader saw last, or nil.
func (v View) doc(before *changes.Doc, u bench.Update) (*changes.Doc, error) {
	if v.Whole() {
		return u.Doc, nil
	}
	var same changes.Same
	if before != nil && v.inside() {
		// A seat sees every line, cut by what the line says. What it may see of a text
		// may hang on other entries too, so those lines are looked at each time.
		since := u.Doc.Each("lines")
		same = func(path string, i int) bool {
			return path == "lines" && since[i] <= before.Seq() && !hasText(u.State.Lines[i].Kind)
		}
	}
	return changes.Of(before, u.State.Seq, v.state(u.State), same)
}

// hasText reports whether it hangs on other entries what may be seen of one.
func hasText(k entry.Kind) bool {
	return k.About().Hangs
}

// SeatView is what a state says to a seat. Like Public it lists what goes out:
// a new part of the state stays in until somebody lets it out.
func SeatView(s rules.State, seat entry.Seat) rules.State {
	v := View{Seat: seat}
	p := rules.State{
		Game: s.Game, Seq: s.Seq, Opened: s.Opened, Info: s.Info, Division: s.Division,
		Stage: s.Stage, Next: s.Next, Clock: s.Clock, TimeOut: s.TimeOut, Delay: s.Delay, Bench: s.Bench,
		Periods: s.Periods, Goals: s.Goals, Calls: s.Calls, Terms: s.Terms, Strength: s.Strength,
		Releases: s.Releases, Due: s.Due, Hold: s.Hold, Notices: s.Notices, Owed: s.Owed, Asked: s.Asked,
		Book: v.book(s.Book), Lines: v.lines(s.Lines),
	}
	for i, team := range s.Teams {
		p.Teams[i] = v.team(team)
	}
	return p
}

func (v View) team(t rules.Team) rules.Team {
	p := rules.Team{
		Side: t.Side, Name: t.Name, Players: v.players(t.Players), Staff: []entry.Official{},
		Colour: t.Colour, Score: t.Score, Shown: t.Shown, TimeOuts: t.TimeOuts, Goalkeeper: t.Goalkeeper, NetEmpty: t.NetEmpty,
	}
	if v.May(bench.ReadNames) {
		p.Staff, p.Withdrawn = t.Staff, t.Withdrawn
	}
	return p
}

// players are the numbers to choose from. Who is suspended is said only to whom
// names are said: to the others that player is not there.
func (v View) players(list []entry.Player) []entry.Player {
	if v.May(bench.ReadNames) {
		return list
	}
	cut := make([]entry.Player, len(list))
	for i, p := range list {
		cut[i] = entry.Player{
			Number: p.Number, Goalkeeper: p.Goalkeeper, Captain: p.Captain, Alternate: p.Alternate,
			Position: p.Position, Status: p.Status,
		}
		if p.Status == entry.Suspended {
			cut[i].Status = entry.Absent
		}
	}
	return cut
}

func (v View) book(b rules.Book) rules.Book {
	p := rules.Book{
		Shots: b.Shots, Attempts: b.Attempts, ShootOut: b.ShootOut, Keepers: b.Keepers, FaceOffs: b.FaceOffs,
		Said: b.Said, Sealed: b.Sealed, Doubles: b.Doubles,
		Signatures: []rules.Signature{}, Seals: []rules.Seal{},
	}
	for i, by := range b.Confirmed {
		if by != "" {
			p.Confirmed[i] = entry.TakenOut // that it was confirmed, not by whom
		}
	}
	if v.May(bench.ReadPeople) {
		p.Crew, p.Confirmed, p.Signatures, p.Seals = b.Crew, b.Confirmed, b.Signatures, b.Seals
	}
	return p
}

// lines are the ledger in words. A note is shown to the seat that wrote it, as
// long as nobody else put something else in its place.
func (v View) lines(list []rules.Line) []rules.Line {
	others := map[string]bool{} // entries that another seat amended
	for _, l := range list {
		if l.Kind == entry.KindAmended && l.Seat != v.Seat {
			others[l.About()] = true
		}
	}
	cut := make([]rules.Line, len(list))
	for i, l := range list {
		cut[i] = v.line(l, l.Seat == v.Seat && !others[l.Entry])
	}
	return cut
}

func (v View) line(l rules.Line, own bool) rules.Line {
	p := rules.Line{
		Entry: l.Entry, Seq: l.Seq, Kind: l.Kind, Moment: l.Moment, Wall: l.Wall, Seat: l.Seat, Of: l.Of, Root: l.Root,
		Body: v.body(l.Body, own), Say: v.say(l.Kind, l.Say, own), Follows: l.Follows, Struck: l.Struck, Amended: l.Amended,
	}
	if v.May(bench.ReadPeople) {
		p.By = l.By
	}
	return p
}

// entry is an entry as the reader may see it.
func (v View) entry(e entry.Entry) entry.Entry {
	if v.Whole() {
		return e
	}
	own := e.Seat == v.Seat
	e.Body = v.body(e.Body, own)
	if !v.May(bench.ReadPeople) {
		e.By = ""
	}
	return e
}

// body is what an entry says, with what the reader may see of it.
func (v View) body(b entry.Body, own bool) entry.Body {
	if b == nil {
		return nil
	}
	b = entry.MapBody(b, func(what entry.Text, text string) string {
		if text == "" || v.shows(what, own) {
			return text
		}
		return what.Gone()
	})
	return v.withoutStates(b, own)
}

// shows reports whether a text about a person may be seen.
func (v View) shows(what entry.Text, own bool) bool {
	switch what {
	case entry.TextPlayer, entry.TextStaff:
		return v.May(bench.ReadNames)
	case entry.TextOfficial, entry.TextDrawing, entry.TextDevice:
		return v.May(bench.ReadPeople)
	case entry.TextRemark:
		return own || v.May(bench.ReadNotes)
	}
	return false
}

// withoutStates takes out what says something about a person without a text: who
// is suspended, and that a note is about an injury or a suspension.
func (v View) withoutStates(b entry.Body, own bool) entry.Body {
	switch b := b.(type) {
	case entry.GameOpened:
		b.Home.Players, b.Visitors.Players = v.players(b.Home.Players), v.players(b.Visitors.Players)
		return b
	case entry.RosterSet:
		b.Team.Players = v.players(b.Team.Players)
		return b
	case entry.Note:
		if !v.shows(entry.TextRemark, own) {
			b.About, b.Side, b.Player = entry.Remark, "", ""
		}
		return b
	case entry.Amended:
		if b.To != nil {
			b.To = v.withoutStates(b.To, own)
		}
		return b
	default:
		return b
	}
}

// say is the sentence of an entry, without the texts that the reader may not see.
func (v View) say(kind entry.Kind, s rules.Say, own bool) rules.Say {
	hidden := map[string]bool{}
	for _, h := range kind.About().Hides {
		hidden[h.Argument] = !v.shows(h.What, own)
	}
	if len(hidden) == 0 {
		return s // teams, numbers, times
	}
	cut := rules.Say{Key: s.Key}
	for _, arg := range s.Args {
		if hidden[arg.Name] {
			arg.Text = entry.TakenOut
		}
		cut.Args = append(cut.Args, arg)
	}
	return cut
}

// problem is what the bench said against a post, as the reader may see it: of two
// versions the other one is somebody else's.
func (v View) problem(err error) error {
	var p *bench.Problem
	if v.Whole() || !errors.As(err, &p) || p.Stale == nil {
		return err
	}
	cut, stale := *p, *p.Stale
	stale.Theirs = v.entry(stale.Theirs)
	cut.Stale = &stale
	return &cut
}

// file is entries as a file has them, for a copy, with the texts that the reader
// may see beside them; or inside, for reading. An older line with texts inside
// goes to whoever may not see them as one that took its place: the chain holds.
func (v View) file(ledger []entry.Entry, inside bool) (all []byte, err error) {
	shows := entry.Lines{Shows: func(what entry.Text) bool { return v.shows(what, false) }}
	if inside {
		shows = entry.Lines{}
	}
	for _, e := range ledger {
		switch {
		case inside:
			e = v.entry(e).Plain()
		case !v.Whole():
			if e, err = entry.Withdraw(e, hidden); err != nil {
				return nil, err
			}
		}
		if all, err = shows.Append(all, e); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// hidden gives random bytes for a text that is not handed out.
func hidden(string) []byte {
	random := make([]byte, entry.RandomBytes)
	_, _ = rand.Read(random) // it never fails
	return random
}
