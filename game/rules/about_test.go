package rules_test

import (
	"regexp"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// inArgs writes a sentence as its key with what fills its gaps.
func inArgs(say rules.Say) string {
	text := say.Key
	for _, arg := range say.Args {
		text += " " + arg.Name + "=" + arg.Text
	}
	return text
}

// To strike an amendment brings back what the entry said before, and that is said
// before it counts; no sentence names an entry by its number.
func TestStrikingAnAmendmentSaysWhatComesBack(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.stop(at1(5, 0))
	goal := g.post(at1(5, 0), entry.Goal{Side: entry.Home, Scorer: "9", Unassisted: true})
	change := g.of(goal, at1(5, 0), entry.Amended{To: entry.Goal{Side: entry.Visitors, Scorer: "12", Unassisted: true}})
	draft := func(of string) entry.Entry {
		return entry.Entry{ID: id26(90), Game: gameID, Seat: entry.Solo, At: at1(5, 0), Of: of, Body: entry.Struck{}}
	}
	texts := func(says []rules.Say) (out []string) {
		for _, say := range says {
			out = append(out, inArgs(say))
		}
		return out
	}
	p := rules.Consider(g.ledger, []entry.Entry{draft(change)}, g.wall)
	if len(p.Refused) > 0 || len(p.Says) < 2 || p.Says[0].Key != "says.unchanged" || p.Says[1].Key != "line.goal" ||
		p.Says[1].Args.Get("player") != "9" || p.Says[1].Args.Get("team") != "Kelp Bay" {
		t.Errorf("says %q", texts(p.Says))
	}
	if !slices.Contains(texts(p.Says), "says.score home=1 visitors=0") {
		t.Errorf("the score that comes back is not said: %q", texts(p.Says))
	}

	// Taken back, and the change is there again: that is said as well.
	strike := g.of(change, at1(5, 0), entry.Struck{})
	p = rules.Consider(g.ledger, []entry.Entry{draft(strike)}, g.wall)
	if len(p.Says) < 2 || p.Says[0].Key != "says.back" || p.Says[1].Args.Get("player") != "12" {
		t.Errorf("says %q", texts(p.Says))
	}

	// The goal itself was struck meanwhile: nothing comes back.
	g.of(strike, at1(5, 0), entry.Struck{})
	g.of(goal, at1(5, 0), entry.Struck{})
	p = rules.Consider(g.ledger, []entry.Entry{draft(change)}, g.wall)
	if !slices.ContainsFunc(p.Says, func(s rules.Say) bool { return s.Key == "says.still_out" }) {
		t.Errorf("says %q", texts(p.Says))
	}

	number := regexp.MustCompile(`seq=|line\.(amended|struck)\S* .*\d`)
	keys := map[string]bool{}
	for _, line := range mustFold(t, g.ledger).Lines {
		text := inArgs(line.Say)
		if keys[line.Say.Key] = true; number.MatchString(text) {
			t.Errorf("a line names an entry by number: %q", text)
		}
	}
	for _, key := range []string{"line.amended_of", "line.struck_of", "line.struck_change_of", "line.struck_strike_of"} {
		if !keys[key] {
			t.Errorf("no line says %s", key)
		}
	}
}

// Every edit says which entry it is about in the end, by whatever way it leads
// there, and a ledger that grew says the same.
func TestEveryLineKnowsWhatItIsAbout(t *testing.T) {
	g := newGame(t, "nhl")
	g.begin(1)
	g.stop(at1(5, 0))
	goal := g.post(at1(5, 0), entry.Goal{Side: entry.Home, Scorer: "9", Unassisted: true})
	other := entry.Amended{To: entry.Goal{Side: entry.Home, Scorer: "12", Unassisted: true}}
	grown, err := rules.FoldAfter(nil, g.ledger)
	if err != nil {
		t.Fatal(err)
	}
	of, want := goal, map[string]string{goal: ""}
	for i, body := range []entry.Body{other, other, entry.Struck{}, entry.Struck{}, entry.Struck{}} {
		if of = g.of(of, at1(5, 0), body); i > 0 {
			want[of] = goal // the first one names it itself
		}
		if grown, err = rules.FoldAfter(grown, g.ledger); err != nil {
			t.Fatal(err)
		}
	}
	for _, state := range []rules.State{mustFold(t, g.ledger), grown.State} {
		for i := range state.Lines {
			l := &state.Lines[i]
			if l.Root != want[l.Entry] {
				t.Errorf("%s of entry %d has the root %q, want %q", l.Kind, l.Seq, l.Root, want[l.Entry])
			}
			if about := state.About(l.Entry); l.Kind.Edits() && about != goal || !l.Kind.Edits() && about != l.Entry {
				t.Errorf("%s of entry %d is about %q", l.Kind, l.Seq, about)
			}
		}
	}
	if got := grown.State.About("nobody's"); got != "nobody's" {
		t.Errorf("an entry that is not there is about %q", got)
	}
}
