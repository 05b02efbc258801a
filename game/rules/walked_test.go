package rules_test

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// longStory is a ledger of some hundred entries of all kinds, chained.
func longStory(t *rapid.T) *game {
	s := drawStory(t)
	g := s.ledger(nilTB{})
	at := g.ledger[len(g.ledger)-1].At
	for n := rapid.IntRange(250, 600).Draw(t, "entries"); len(g.ledger) < n; {
		at.Elapsed = min(at.Elapsed+entry.Millis(rapid.IntRange(0, 3000).Draw(t, "on")), entry.Clock(14, 0))
		draw(t, g, at)
	}
	return g
}

// draw posts one more entry of any kind.
func draw(t *rapid.T, g *game, at entry.At) {
	old := func() entry.Entry { return g.ledger[rapid.IntRange(1, len(g.ledger)-1).Draw(t, "of")] }
	side := rapid.SampledFrom(entry.Sides[:]).Draw(t, "side")
	player := rapid.SampledFrom([]entry.Jersey{"4", "04", "9", "21"}).Draw(t, "player")
	switch rapid.IntRange(0, 19).Draw(t, "kind") {
	case 0:
		of := old()
		g.of(of.ID, of.At, entry.Struck{})
	case 1:
		of := old()
		if _, is := of.Body.(entry.Amended); !is {
			g.of(of.ID, entry.At{Period: of.At.Period, Elapsed: of.At.Elapsed / 2}, entry.Amended{To: of.Body})
		}
	case 2:
		g.post(at, entry.Penalty{Side: side, Player: player, Parts: []entry.Part{entry.Minor}})
	case 3:
		g.post(at, entry.Goal{Side: side, Scorer: player})
	case 4:
		g.post(at, entry.ClockSet{Elapsed: at.Elapsed / entry.Millis(rapid.IntRange(1, 3).Draw(t, "back")), Moves: rapid.Bool().Draw(t, "moves")})
	case 5:
		g.post(at, entry.FaceOff{Won: side, Home: "4", Visitors: player})
	case 6:
		g.post(at, entry.Seated{Side: side, Player: player, In: rapid.Bool().Draw(t, "in")})
	case 7:
		g.post(at, entry.SetAside{Item: "ends/@stage.period.2"})
	case 8:
		g.post(at, entry.Goalkeeper{Side: side, Number: player})
	case 9:
		g.post(at, entry.BenchSet{Clock: entry.Beside})
	case 10:
		g.post(at, entry.BoardRead{Elapsed: at.Elapsed})
	case 11:
		g.post(at, entry.CardSet{Card: []byte(rapid.SampledFrom([]string{"null", `{"id":"saltworks"}`}).Draw(t, "card"))})
	case 12:
		g.post(at, entry.ClockStarted{Elapsed: at.Elapsed})
	case 13:
		g.post(at, entry.ClockStopped{Elapsed: at.Elapsed})
	case 14:
		g.post(at, entry.Announced{What: "goal"})
	case 15:
		switch rapid.IntRange(0, 14).Draw(t, "seldom") {
		case 0, 1:
			g.post(at, entry.RosterSet{Side: side, Team: entry.Team{Name: "Millrace", Players: []entry.Player{{Number: player}}}})
		case 2:
			g.post(at, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 3}, Length: entry.Clock(rapid.IntRange(9, 16).Draw(t, "length"), 0)})
		}
	default:
		g.post(at, entry.Shots{Side: side, Count: 1})
	}
}

// TestGoingOnIsFoldOfTheWhole: however a long ledger grows, one entry at a time or
// many, with older and newer entries amended and struck, tried first or not, and
// from whichever fold of a beginning of it, its state is that of the whole, and no
// state that was given out before has changed.
func TestGoingOnIsFoldOfTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := longStory(t)
		began := rapid.IntRange(max(2, len(g.ledger)-80), len(g.ledger)).Draw(t, "began")
		for range rapid.IntRange(1, 30).Draw(t, "more") {
			draw(t, g, g.ledger[len(g.ledger)-1].At)
		}
		ledger := chained(g.ledger)
		one, err := rules.FoldAfter(nil, ledger[:began])
		if err != nil {
			t.Fatal(err)
		}
		folds := []*rules.Folded{one}
		wants := []string{whole(t, ledger[:began])}
		lengths := []int{began}
		for range rapid.IntRange(2, 10).Draw(t, "steps") {
			from := rapid.IntRange(0, len(folds)-1).Draw(t, "from")
			if rapid.Bool().Draw(t, "newest") {
				from = len(folds) - 1
			}
			at := lengths[from]
			if at == len(ledger) {
				break
			}
			to := rapid.IntRange(at+1, min(at+12, len(ledger))).Draw(t, "to")
			if rapid.Bool().Draw(t, "single") {
				to = at + 1
			}
			var next *rules.Folded
			switch rapid.IntRange(0, 2).Draw(t, "how") {
			case 0: // looked at and thrown away
				draft := ledger[at]
				draft.Prev = ""
				if p := rules.ConsiderAfter(folds[from], ledger[:at], []entry.Entry{draft}, draft.Wall); len(p.Refused) == 0 {
					sameState(t, "a preview", p.State, whole(t, append(ledger[:at:at], draft)))
				}
				continue
			case 1:
				var refused *rules.Refusal
				if next, refused = rules.Accept(folds[from], ledger[:at], ledger[at:to]); refused != nil {
					continue
				}
			default:
				if next, err = rules.FoldAfter(folds[from], ledger[:to]); err != nil {
					t.Fatal(err)
				}
			}
			folds, wants, lengths = append(folds, next), append(wants, whole(t, ledger[:to])), append(lengths, to)
			sameState(t, "the fold", next.State, wants[len(wants)-1])
			fresh := map[int]bool{}
			for _, i := range next.Fresh {
				fresh[i] = true
			}
			for i, line := range folds[from].State.Lines {
				if !fresh[i] && !alike(line, next.State.Lines[i]) {
					t.Fatalf("line %d is another one, and is not said to be fresh", i)
				}
			}
		}
		for i, f := range folds {
			sameState(t, "a state given out before", f.State, wants[i])
		}
	})
}

func whole(t *rapid.T, ledger []entry.Entry) string {
	raw, err := json.Marshal(mustFold(t, append([]entry.Entry{}, ledger...)))
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

func sameState(t *rapid.T, what string, state rules.State, want string) {
	t.Helper()
	got, err := json.Marshal(state)
	if err != nil || string(got) != want {
		at := 0
		for at < min(len(got), len(want)) && got[at] == want[at] {
			at++
		}
		t.Fatalf("%s is not that of the whole ledger: %s\nwant %s", what, got[max(0, at-200):min(len(got), at+100)], want[max(0, at-200):min(len(want), at+100)])
	}
}
