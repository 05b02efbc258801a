package rules_test

import (
	"encoding/json"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// What is tried after a fold, or goes on from it another way, leaves the whistles of
// that fold alone: a clock that is put back takes whistles out, and one that stands
// elsewhere than was thought moves the newest. Who is due out says whether they are
// there still, because a release is said until the whistle after it.
func TestATrialLeavesTheWhistlesAlone(t *testing.T) {
	g := newGame(t, "nhl")
	at := func(elapsed entry.Millis) entry.At { return entry.At{Period: 1, Elapsed: elapsed} }
	g.begin(1)
	g.post(at(0), entry.Penalty{Side: entry.Home, Player: "17", Call: "tripping", Parts: []entry.Part{entry.Minor}})
	for _, stretch := range [][2]entry.Millis{{0, 30_000}, {30_000, 122_000}} {
		g.post(at(stretch[0]), entry.ClockStarted{Elapsed: stretch[0]})
		g.post(at(stretch[1]), entry.ClockStopped{Elapsed: stretch[1]})
	}
	next := func(body entry.Body) []entry.Entry {
		more := &game{tb: t, division: g.division, ledger: append([]entry.Entry{}, g.ledger...), wall: g.wall}
		more.post(at(122_000), body)
		return chained(more.ledger)
	}
	said := func(ledger []entry.Entry, before *rules.Folded) string {
		after, err := rules.FoldAfter(before, ledger)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(after.State)
		if err != nil {
			t.Fatal(err)
		}
		return string(raw)
	}
	note := next(entry.Note{Text: "the other way on"})
	want := said(note, nil)
	for name, tried := range map[string]entry.Body{
		"the clock is put back":       entry.ClockSet{Elapsed: 60_000},
		"the clock stands elsewhere":  entry.ClockSet{Elapsed: 121_000},
		"a whistle where it went off": entry.ClockSet{Elapsed: 126_000},
	} {
		base, err := rules.FoldAfter(nil, chained(g.ledger))
		if err != nil {
			t.Fatal(err)
		}
		if len(base.State.Due) != 1 || base.State.Due[0].Until != 122_000 {
			t.Fatalf("nobody is due until the whistle: the test shows nothing: %+v", base.State.Due)
		}
		said(next(tried), base)
		if got := said(note, base); got != want {
			t.Errorf("%s, in a trial, and then another entry: the state is\n%s\nand not\n%s", name, got, want)
		}
	}
}
