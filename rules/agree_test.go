package rules_test

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/entry"
	"whistlestop/rulebook"
	"whistlestop/rules"
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
	m := newModel(code)
	lengths := map[entry.Part]int{}
	for part, length := range map[entry.Part]entry.Millis{
		entry.Minor: code.Lengths.Minor, entry.BenchMinor: code.Lengths.BenchMinor, entry.Major: code.Lengths.Major,
		entry.Match: code.Lengths.Match, entry.Misconduct: code.Lengths.Misconduct,
	} {
		lengths[part] = int(length / 1000)
	}
	step, next, now := 0, 0, 0
	check := func(where string) {
		for step+1 < len(state.Strength) && state.Strength[step+1].From.Abs <= entry.Millis(now)*1000 {
			step++
		}
		if got := state.Strength[step].Skaters; got != m.onIce {
			t.Fatalf("%s, %s, second %d: the fold has %v skaters, the model %v\n%+v", s.code, where, now, got, m.onIce, s)
		}
	}
	for period := 1; period <= 4; period++ {
		seconds := s.seconds
		if period == 4 {
			seconds, m.full = 300, 3
		}
		m.whistle(now)
		m.level()
		for second := 0; second <= seconds; second++ {
			if second > 0 {
				now++
				m.tick(now)
			}
			if m.chosen {
				return false
			}
			if next < len(s.whistles) && s.whistles[next].period == period && s.whistles[next].second == second {
				if !m.stop(s, s.whistles[next], lengths, now) {
					return false
				}
				next++
			}
			if second < seconds {
				check("period " + strconv.Itoa(period))
			}
		}
	}
	sameLeaves(t, s, state, m, now)
	return true
}

// stop plays one whistle of a story in the model. It reports whether the game
// can be compared further: no captain had to choose.
func (m *model) stop(s story, w storyWhistle, lengths map[entry.Part]int, now int) bool {
	var wiped [2]bool
	for _, goal := range w.goals {
		ended, choice := m.goal(goal.Side.Index(), now)
		if choice {
			return false
		}
		wiped[goal.Side.Other().Index()] = !ended
	}
	m.whistle(now)
	var list []modelCall
	for i, p := range w.calls {
		call := modelCall{side: p.Side.Index(), player: string(p.Player), parts: p.Parts, signalled: p.Signalled}
		if p.Bench {
			call.player = fmt.Sprintf("bench %d-%d-%d", w.period, w.second, i)
		}
		for _, part := range p.Parts {
			call.lengths = append(call.lengths, lengths[part])
		}
		list = append(list, call)
	}
	late := m.late > 0 && (w.period == 4 || w.period == 3 && w.second >= s.seconds-m.late)
	if m.calls(list, wiped, late) {
		return false
	}
	m.level()
	return true
}

// sameLeaves compares when each player left the box, up to the end of the game.
func sameLeaves(t failer, s story, state rules.State, m *model, end int) {
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
	for key, want := range m.leaves {
		want = keepIf(want, func(second int) bool { return second < end })
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
