package entry_test

import (
	"strings"
	"testing"

	"whistlestop/game/entry"
)

func TestNamesHaveOnlyWhatCanBeSeen(t *testing.T) {
	bodies := func(name string) map[string]entry.Body {
		team := entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "7", Name: name}}}
		return map[string]entry.Body{
			"a team":         entry.GameOpened{Division: []byte("{}"), Home: entry.Team{Name: name}, Visitors: entry.Team{Name: "Millrace"}},
			"visitors":       entry.GameOpened{Division: []byte("{}"), Home: entry.Team{Name: "Millrace"}, Visitors: entry.Team{Name: name}},
			"a place":        entry.GameOpened{Division: []byte("{}"), Home: entry.Team{Name: "A"}, Visitors: entry.Team{Name: "B"}, Venue: name},
			"a player":       entry.RosterSet{Side: entry.Home, Team: team},
			"another name":   entry.RosterSet{Side: entry.Home, Team: entry.Team{Name: name}},
			"a confirmer":    entry.RosterConfirmed{Side: entry.Home, By: name},
			"a call":         entry.Penalty{Side: entry.Home, Call: name, Parts: []entry.Part{entry.Minor}},
			"an amendment":   entry.Amended{To: entry.Penalty{Side: entry.Home, Call: name, Parts: []entry.Part{entry.Minor}}},
			"a note":         entry.Note{Text: name, About: entry.Remark},
			"a reason":       entry.Struck{Reason: name},
			"amended roster": entry.Amended{To: entry.RosterSet{Side: entry.Home, Team: team}},
		}
	}
	try := func(body entry.Body) error {
		e := entry.Entry{ID: "01JD0000000000000000000010", Game: "01JD0000000000000000000000", Seat: entry.Solo, Body: body}
		if k := body.Kind(); k == entry.KindAmended || k == entry.KindStruck {
			e.Of = "01JD0000000000000000000001"
		}
		return e.Validate()
	}
	for _, bad := range []string{"\u202e", "\u200b", "\u200f", "\u2066", "\ufeff", "\x00", "\x1b", "\x7f", "\u0085", "\xff", "\ue000"} {
		for what, body := range bodies("Kelp" + bad + " B") {
			if err := try(body); err == nil || !strings.Contains(err.Error(), "invalid.unseen") {
				t.Errorf("%s with %q is taken: %v", what, bad, err)
			}
		}
	}
	for _, good := range []string{"Kelp Bay", "Åse Ødegård-O'Neil", "Łódź \u00a0B", "山田", "é e\u0301", "7½ – “B”", "\ufffd"} {
		for what, body := range bodies(good) {
			if err := try(body); err != nil {
				t.Errorf("%s with %q is refused: %v", what, good, err)
			}
		}
	}
	for _, text := range []string{"one\ntwo", "one\ttwo"} {
		if err := try(entry.Note{Text: text, About: entry.Remark}); err != nil {
			t.Errorf("a note of several lines: %v", err)
		}
		if err := try(entry.RosterConfirmed{Side: entry.Home, By: text}); err == nil {
			t.Error("a name of several lines is taken")
		}
	}
	e := entry.Entry{ID: "01JD0000000000000000000010", Game: "01JD0000000000000000000000", Seat: entry.Solo, By: "a\u202eb", Body: entry.DelayOver{}}
	if e.Validate() == nil {
		t.Error("a device may be named with what cannot be seen")
	}
}
