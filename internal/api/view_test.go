package api

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
)

// cutFrom are the texts of a state that a seat sees only with a reading. Where
// the state has them, by the path that the planter gives.
var cutFrom = map[string]bench.Reading{
	".Teams.Players.Name": bench.ReadNames, ".Teams.Staff.Name": bench.ReadNames, ".Teams.Staff.Role": bench.ReadNames,
	".Teams.Withdrawn":          bench.ReadNames,
	".Book.Crew.Officials.Name": bench.ReadPeople, ".Book.Crew.Officials.Role": bench.ReadPeople,
	".Book.Crew.Crew.Name": bench.ReadPeople, ".Book.Crew.Crew.Role": bench.ReadPeople,
	".Book.Confirmed": bench.ReadPeople, ".Lines.By": bench.ReadPeople,
	".Book.Signatures.Entry": bench.ReadPeople, ".Book.Signatures.Role": bench.ReadPeople,
	".Book.Signatures.Name": bench.ReadPeople, ".Book.Signatures.Code": bench.ReadPeople,
	".Book.Seals.Entry": bench.ReadPeople, ".Book.Seals.Head": bench.ReadPeople,
	".Book.Seals.Replaces": bench.ReadPeople, ".Book.Seals.Missing": bench.ReadPeople,
}

// What a state says to a seat is all but what is listed here, and a new text of
// the state has to be put on one side or the other.
func TestASeatSeesNoMoreThanItsWork(t *testing.T) {
	s, marks := planted(t)
	// Sentences of entries are tried one by one below.
	s.Lines[0].Kind = entry.KindGoal
	for _, seat := range []entry.Seat{entry.ClockSeat, entry.BoxSeat, entry.ShotsSeat, entry.VoiceSeat, entry.BookSeat} {
		raw, err := json.Marshal(View{Seat: seat}.state(s))
		if err != nil {
			t.Fatal(err)
		}
		for mark, path := range marks.paths {
			reading, has := cutFrom[path]
			want := !has || bench.Reads(seat, reading)
			if path == ".Lines.Kind" || path == ".Teams.Players.Status" {
				continue // they were replaced
			}
			if got := strings.Contains(string(raw), mark); got != want {
				t.Errorf("%s sees %s: %v, want %v", seat, path, got, want)
			}
		}
	}
}

// fillBody plants a text of its own into every text of a body of the kind.
func fillBody(t *testing.T, kind entry.Kind) (entry.Body, planter) {
	t.Helper()
	var e entry.Entry
	line := `{"specversion":"1.0","id":"x","source":"/game/x","type":"whistlestop.` + string(kind) +
		`.v1","time":"2026-01-01T00:00:00Z","data":{"at":{},"body":{"kind":"note","body":{}}}}`
	if kind != entry.KindAmended {
		line = strings.Replace(line, `"kind":"note","body":{}`, "", 1)
	}
	if err := e.UnmarshalJSON([]byte(line)); err != nil {
		t.Fatal(err)
	}
	p := planter{paths: map[string]string{}}
	if kind == entry.KindAmended {
		p.paths["MARK0000"] = ".To.Text"
		return entry.Amended{To: entry.Note{Text: "MARK0000", About: entry.InjuryNote}}, p
	}
	v := reflect.New(reflect.TypeOf(e.Body)).Elem()
	p.fill(v, string(kind))
	body, ok := v.Interface().(entry.Body)
	if !ok {
		t.Fatalf("%s has no body", kind)
	}
	return body, p
}

// notAboutPeople are the texts of entries that name nobody.
var notAboutPeople = []string{
	"game_opened.Number", "game_opened.Schedule", "game_opened.Venue", "game_opened.Date",
	"game_opened.Home.Name", "game_opened.Visitors.Name", "roster_set.Team.Name", ".Home.Colour", ".Visitors.Colour", "roster_set.Team.Colour",
	".Side", ".Role", ".Kind", ".Name.Kind", "choice.Question", "choice.Picks", "set_aside.Item", "ticked.Step", "announced.What", "penalty.Call",
	"withdrawn.Texts", "withdrawn.Lines.Entry", "withdrawn.Lines.Hash", "withdrawn.Key", "withdrawn.Signature", "sealed.Head", "sealed.Replaces", "sealed.Key", "sealed.Signature",
	".Number", ".Position", ".Status", ".Scorer", ".Assists", ".On", ".Home", ".Visitors", ".Player", ".ServedBy", ".Parts",
	".Why", "clock_doubted.Readings.By", ".Clock", ".Stage.Kind", ".Won", ".Goalkeeper",
}

// readingOf are those that do, and the reading that shows them.
var readingOf = map[string]bench.Reading{
	".Players.Name": bench.ReadNames, ".Staff.Name": bench.ReadNames,
	".Officials.Name": bench.ReadPeople, ".Crew.Name": bench.ReadPeople, "roster_confirmed.By": bench.ReadPeople,
	"signed.Name": bench.ReadPeople, "signed.Code": bench.ReadPeople, "signed.Drawing": bench.ReadPeople,
	"note.Text": bench.ReadNotes, "note.About": bench.ReadNotes, "note.Side": bench.ReadNotes, "note.Player": bench.ReadNotes, "struck.Reason": bench.ReadNotes, "sealed.Missing": bench.ReadNotes, ".To.Text": bench.ReadNotes,
}

// Every text that an entry can carry is about a person or it is not, and what is
// goes to nobody who may not read it: not as an entry, not as a line of the
// state, not in the sentence of a line.
func TestNoTextOfAnEntryReachesWhoMayNotReadIt(t *testing.T) {
	for _, kind := range entry.Kinds {
		body, marks := fillBody(t, kind)
		for _, seat := range []entry.Seat{entry.ClockSeat, entry.BoxSeat, entry.ShotsSeat, entry.VoiceSeat, entry.BookSeat} {
			v := View{Seat: seat}
			// As the fold writes a line of it: the sentence has the texts as well.
			args := rules.Args{}
			for _, name := range []string{"text", "by", "name"} {
				for mark, path := range marks.paths {
					if strings.HasSuffix(strings.ToLower(path), "."+name) && !slices.Contains(notAboutPeople, path) {
						args = append(args, rules.Arg{Name: name, Text: mark})
					}
				}
			}
			line := rules.Line{Entry: "x", Kind: kind, Seat: entry.Solo, Body: body, Say: rules.Say{Key: "line.x", Args: args}}
			if kind == entry.KindGameOpened || kind == entry.KindRosterSet || kind == entry.KindCrewSet || kind == entry.KindAmended {
				line.Say = rules.Say{} // their sentences name teams at most
			}
			inState, err := json.Marshal(v.lines([]rules.Line{line}))
			if err != nil {
				t.Fatal(err)
			}
			asEntry, err := v.entry(entry.Entry{ID: "x", Game: "x", Seat: entry.Solo, Body: body}).MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			for mark, path := range marks.paths {
				reading, about := bench.Reading(""), false
				for end, r := range readingOf {
					if strings.HasSuffix(path, end) {
						reading, about = r, true
					}
				}
				harmless := slices.ContainsFunc(notAboutPeople, func(end string) bool { return strings.HasSuffix(path, end) })
				if _, whole := readingOf[path]; whole { // elsewhere a side or a number says nothing about anybody
					harmless = false
				}
				if about == harmless {
					t.Errorf("%s: say whether this text is about a person, and who may read it", path)
				}
				want := !about || bench.Reads(seat, reading)
				for where, text := range map[string]string{"state": string(inState), "ledger": string(asEntry)} {
					if got := strings.Contains(text, mark); got != want && (about || where == "ledger") {
						t.Errorf("%s sees %s in the %s: %v, want %v", seat, path, where, got, want)
					}
				}
			}
		}
	}
}

// A seat sees the note that it wrote, to take it back, until somebody else has
// put other words in its place; and no seat sees who is suspended or hurt that
// need not know.
func TestASeatSeesItsOwnNote(t *testing.T) {
	note := entry.Note{Text: "PLANTED", About: entry.InjuryNote}
	lines := []rules.Line{
		{Entry: "1", Kind: entry.KindNote, Seat: entry.BoxSeat, Body: note},
		{Entry: "2", Kind: entry.KindNote, Seat: entry.BookSeat, Body: note},
		{Entry: "3", Kind: entry.KindNote, Seat: entry.BoxSeat, Body: note},
		{Entry: "4", Kind: entry.KindAmended, Seat: entry.BookSeat, Of: "3", Body: entry.Amended{To: note}},
		{Entry: "5", Kind: entry.KindNote, Seat: entry.BoxSeat, Body: note},
		{Entry: "6", Kind: entry.KindAmended, Seat: entry.BoxSeat, Of: "5", Body: entry.Amended{To: note}},
		{Entry: "7", Kind: entry.KindAmended, Seat: entry.BookSeat, Of: "6", Root: "5", Body: entry.Amended{To: note}},
	}
	for i, shown := range []bool{true, false, false, false, false, true, false} {
		raw, err := json.Marshal(View{Seat: entry.BoxSeat}.lines(lines)[i])
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(string(raw), "PLANTED") && strings.Contains(string(raw), "injury"); got != shown || !shown && strings.Contains(string(raw), "injury") {
			t.Errorf("line %d is shown: %v, want %v: %s", i+1, got, shown, raw)
		}
	}
	team := rules.Team{Players: []entry.Player{{Number: "9", Name: "PLANTED", Status: entry.Suspended}}}
	if got := (View{Seat: entry.BoxSeat}).team(team).Players[0]; got != (entry.Player{Number: "9", Status: entry.Absent}) {
		t.Errorf("the box sees %+v", got)
	}
	if got := (View{Seat: entry.BookSeat}).team(team).Players[0]; got.Status != entry.Suspended || got.Name != "PLANTED" {
		t.Errorf("the book sees %+v", got)
	}
}
