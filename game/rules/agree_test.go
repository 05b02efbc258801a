package rules_test

import (
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/boxmodel"
)

// TestTwoImplementationsAgree compares the fold with the model on random games,
// second by second. WHISTLESTOP_GAMES sets how many games more than rapid's own,
// WHISTLESTOP_FIRST the number of the first.
func TestTwoImplementationsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { compare(t, drawStory(t)) })
	more, _ := strconv.Atoi(os.Getenv("WHISTLESTOP_GAMES"))
	first, _ := strconv.Atoi(os.Getenv("WHISTLESTOP_FIRST"))
	gen := rapid.Custom(drawStory)
	compared := 0
	for i := range more {
		if compare(t, gen.Example(first+i)) {
			compared++
		}
	}
	if more > 0 {
		t.Logf("%d games compared, %d left out because a captain chooses", compared, more-compared)
	}
}

type failer interface {
	Fatal(...any)
	Fatalf(string, ...any)
}

// compare plays a story with both. It reports whether the two were compared.
func compare(t failer, s story) bool {
	g := s.ledger(nilTB{})
	state := mustFold(t, g.ledger)
	code, _ := rulebook.CodeByID(s.code)
	game := boxmodel.Game{Code: code, Lengths: code.Lengths, Regulation: 3}
	for period := 1; period <= 4; period++ {
		p := boxmodel.Period{Seconds: s.seconds, Skaters: 5}
		if period == 4 {
			p = boxmodel.Period{Seconds: 300, Skaters: 3}
		}
		game.Periods = append(game.Periods, p)
	}
	for _, w := range s.whistles {
		game.Whistles = append(game.Whistles, boxmodel.Whistle{Period: w.period, Second: w.second, Goals: w.goals, Calls: w.calls})
	}
	played := game.Play()
	step, now := 0, 0
	for period, skaters := range played.Skaters {
		for second, want := range skaters {
			for step+1 < len(state.Strength) && state.Strength[step+1].From.Abs <= entry.Millis(now)*1000 {
				step++
			}
			if got := state.Strength[step].Skaters; got != want {
				t.Fatalf("%s, period %d, second %d: the fold has %v skaters, the model %v\n%+v", s.code, period+1, second, got, want, s)
			}
			now++
		}
	}
	if played.Compared {
		sameLeaves(t, s, state, played)
	}
	return played.Compared
}

// sameLeaves compares when each player left the box, up to the end of the game.
func sameLeaves(t failer, s story, state rules.State, played boxmodel.Played) {
	end := played.End
	players := map[string]entry.Jersey{}
	for _, term := range state.Terms {
		players[term.ID] = term.Player
	}
	got := map[string][]int{}
	for _, r := range state.Releases {
		player := players[r.Term]
		if r.Door == rules.NextWhistle || player == "" || int(r.Moment.Abs/1000) >= end {
			continue
		}
		key := string(rune('0'+r.Side.Index())) + string(player)
		got[key] = append(got[key], int(r.Moment.Abs/1000))
	}
	for key, want := range played.Leaves {
		want = slices.DeleteFunc(slices.Clone(want), func(second int) bool { return second >= end })
		if strings.Contains(key, "bench") {
			continue
		}
		slices.Sort(want)
		have := slices.Clone(got[key])
		slices.Sort(have)
		if !slices.Equal(want, have) {
			t.Fatalf("%s: %s leaves at %v by the model, at %v by the fold\n%+v", s.code, key, want, have, s)
		}
		delete(got, key)
	}
	for key, have := range got {
		t.Fatalf("%s: %s leaves at %v by the fold, never by the model\n%+v", s.code, key, have, s)
	}
}
