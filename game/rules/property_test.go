package rules_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// A story is a random game: whistles with goals and calls, in whole seconds.
type story struct {
	code     string
	seconds  int // of a period
	whistles []storyWhistle
}

type storyWhistle struct {
	period, second int
	goals          []entry.Goal
	calls          []entry.Penalty
}

// storyCodes are the codes whose box the model knows. USA Hockey's adults differ
// from the youth only in who sits.
var storyCodes = []string{"usah-youth", "nhl", "iihf", "iihf-2017", "hockey-canada"}

var storyParts = [][]entry.Part{
	{entry.Minor}, {entry.Minor}, {entry.Minor}, {entry.Minor}, {entry.Minor, entry.Minor}, {entry.Major},
	{entry.Minor, entry.Misconduct}, {entry.Misconduct}, {entry.Major, entry.GameMisconduct}, {entry.Match},
	{entry.Minor, entry.Major}, {entry.Major, entry.Minor}, {entry.BenchMinor}, {entry.PenaltyShot},
	{entry.Minor, entry.GameMisconduct}, {entry.Minor, entry.Minor, entry.Misconduct},
}

func drawStory(t *rapid.T) story {
	s := story{code: rapid.SampledFrom(storyCodes).Draw(t, "code"), seconds: rapid.SampledFrom([]int{300, 1200}).Draw(t, "period")}
	bench := 0
	for period := 1; period <= 4; period++ {
		seconds := s.seconds
		if period == 4 {
			seconds = 300
		}
		n := rapid.IntRange(0, 7).Draw(t, "whistles")
		at := make([]int, n)
		for i := range at {
			at[i] = rapid.IntRange(0, seconds).Draw(t, "second")
		}
		slices.Sort(at)
		for _, second := range slices.Compact(at) {
			w := storyWhistle{period: period, second: second}
			if rapid.IntRange(0, 3).Draw(t, "goal") == 0 {
				w.goals = append(w.goals, entry.Goal{Side: rapid.SampledFrom(entry.Sides[:]).Draw(t, "scorers")})
			}
			for range rapid.SampledFrom([]int{0, 1, 1, 1, 1, 1, 1, 2, 2, 3}).Draw(t, "calls") {
				p := entry.Penalty{
					Side:   rapid.SampledFrom(entry.Sides[:]).Draw(t, "side"),
					Player: jersey(rapid.IntRange(2, 8).Draw(t, "player")),
					Parts:  rapid.SampledFrom(storyParts).Draw(t, "parts"),
				}
				if p.Parts[0] == entry.BenchMinor {
					bench++
					p.Bench, p.Player, p.ServedBy = true, "", jersey(40+bench%50)
				}
				p.Signalled = len(w.goals) > 0 && rapid.Bool().Draw(t, "signalled")
				w.calls = append(w.calls, p)
			}
			s.whistles = append(s.whistles, w)
		}
	}
	return s
}

// division returns three periods and an overtime at three a side.
func (s story) division() rulebook.Division {
	code, _ := rulebook.CodeByID(s.code)
	length := entry.Millis(s.seconds) * 1000
	return rulebook.Division{
		ID: "story", Name: "Story", Code: s.code, Skaters: 5, Lengths: code.Lengths,
		Periods:       []entry.Millis{length, length, length},
		Intermissions: []entry.Millis{60_000, 60_000},
		Overtime:      overtimeOf(entry.Clock(5, 0), 3, false),
	}
}

func (w storyWhistle) at() entry.At {
	return entry.At{Period: w.period, Elapsed: entry.Millis(w.second) * 1000}
}

// post posts a whistle: the stop of the clock, goals, calls.
func (w storyWhistle) post(g *game) {
	g.post(w.at(), entry.ClockStopped{Elapsed: w.at().Elapsed})
	for _, goal := range w.goals {
		g.post(w.at(), goal)
	}
	for _, call := range w.calls {
		g.post(w.at(), call)
	}
}

func (s story) ledger(tb testing.TB) *game {
	g := openGame(tb, s.division())
	for period := 1; period <= 4; period++ {
		g.begin(period)
		for _, w := range s.whistles {
			if w.period == period {
				w.post(g)
			}
		}
	}
	return g
}

func mustFold(tb interface{ Fatal(...any) }, ledger []entry.Entry) rules.State {
	state, err := rules.Fold(ledger)
	if err != nil {
		tb.Fatal(err)
	}
	return state
}

// facts are what a game comes to, without the names of the entries: goals,
// calls, terms, strength and releases as bytes.
func facts(tb interface{ Fatal(...any) }, ledger []entry.Entry) string {
	s := mustFold(tb, ledger)
	raw, err := json.Marshal([]any{s.Teams, s.Goals, s.Calls, s.Terms, s.Strength, s.Releases, len(s.Asked), len(s.Owed)})
	if err != nil {
		tb.Fatal(err)
	}
	text := string(raw)
	var names []string
	seen := map[string]int{}
	for _, list := range [][]string{goalIDs(s), callIDs(s)} {
		for _, id := range list {
			seen[id] = len(names)
			names = append(names, id, "E"+strconv.Itoa(seen[id]))
		}
	}
	return strings.NewReplacer(names...).Replace(text)
}

func goalIDs(s rules.State) (ids []string) {
	for _, g := range s.Goals {
		ids = append(ids, g.Entry)
	}
	return ids
}

func callIDs(s rules.State) (ids []string) {
	for _, c := range s.Calls {
		ids = append(ids, c.Entry)
	}
	return ids
}

func TestSkatersStayWithinTheBook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, step := range mustFold(t, drawStory(t).ledger(nilTB{}).ledger).Strength {
			for _, n := range step.Skaters {
				if n < 3 || n > 5 {
					t.Fatalf("%d skaters at %+v", n, step.From)
				}
			}
		}
	})
}

// TestTimeServedIsTimeAssessed: what is served on the clock is what was
// assessed less what a goal took away.
func TestTimeServedIsTimeAssessed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, term := range mustFold(t, drawStory(t).ledger(nilTB{}).ledger).Terms {
			if !term.Costs {
				continue
			}
			if served := term.End.Abs - term.Start.Abs; served != term.Length-term.Cut {
				t.Fatalf("served %s of %s with %s taken away: %+v", served, term.Length, term.Cut, term)
			}
		}
	})
}

// TestNoPenaltyRunsOutsidePlay: whatever other clocks do, warm-up, intermission
// and time-out, and however long they take, nothing changes in the box.
func TestNoPenaltyRunsOutsidePlay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStory(t)
		plain := s.ledger(nilTB{})
		g := openGame(nilTB{}, s.division())
		g.post(entry.At{}, entry.StageBegun{Stage: entry.Stage{Kind: entry.WarmUp}, Length: entry.Clock(5, 0), Running: true})
		for period := 1; period <= 4; period++ {
			g.begin(period)
			for _, w := range s.whistles {
				if w.period == period {
					w.post(g)
					g.post(w.at(), entry.TimeOut{Side: entry.Home, Length: entry.Clock(1, 0)})
				}
			}
			g.post(entry.At{Period: period}, entry.StageBegun{
				Stage:  entry.Stage{Kind: entry.Intermission, Number: period},
				Length: entry.Clock(rapid.IntRange(1, 20).Draw(t, "break"), 0), Running: true,
			})
			g.post(entry.At{Period: period}, entry.ClockStopped{Elapsed: 30_000})
			g.post(entry.At{Period: period}, entry.ClockStarted{Elapsed: 30_000})
		}
		a, b := mustFold(t, plain.ledger), mustFold(t, g.ledger)
		for i := range a.Terms {
			x, y := a.Terms[i], b.Terms[i]
			if x.Start != y.Start || x.End != y.End || x.Ended != y.Ended {
				t.Fatalf("%+v became %+v", x, y)
			}
		}
	})
}

// TestPostingLateIsPostingOnTime: the order of posting does not matter, only
// the time of the game; nor does which side's calls of a stoppage, or the goal,
// are posted first.
func TestPostingLateIsPostingOnTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStory(t)
		onTime := s.ledger(nilTB{})
		g := openGame(nilTB{}, s.division())
		for period := 1; period <= 4; period++ {
			g.begin(period)
			for _, w := range s.whistles {
				if w.period == period {
					g.post(w.at(), entry.ClockStopped{Elapsed: w.at().Elapsed})
				}
			}
		}
		order := rapid.Permutation(indexes(len(s.whistles))).Draw(t, "order")
		visitorsFirst := rapid.Bool().Draw(t, "visitors first")
		goalsLast := rapid.Bool().Draw(t, "goals last")
		for _, i := range order {
			w := s.whistles[i]
			calls := slices.Clone(w.calls)
			slices.SortStableFunc(calls, func(a, b entry.Penalty) int {
				if a.Side == b.Side || !visitorsFirst {
					return 0
				}
				return b.Side.Index() - a.Side.Index()
			})
			late := storyWhistle{period: w.period, second: w.second, calls: calls}
			if !goalsLast {
				late.goals = w.goals
			}
			for _, goal := range late.goals {
				g.post(w.at(), goal)
			}
			for _, call := range late.calls {
				g.post(w.at(), call)
			}
			if goalsLast {
				for _, goal := range w.goals {
					g.post(w.at(), goal)
				}
			}
		}
		if visitorsFirst {
			sameBox(t, mustFold(t, onTime.ledger), mustFold(t, g.ledger))
			return
		}
		if a, b := facts(t, onTime.ledger), facts(t, g.ledger); a != b {
			t.Fatalf("on time %s\nlate    %s", a, b)
		}
	})
}

func indexes(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// sameBox compares strength and terms of two games whose calls stand in another
// order.
func sameBox(t *rapid.T, a, b rules.State) {
	if fmt.Sprint(a.Strength) != fmt.Sprint(b.Strength) {
		t.Fatalf("strength %v became %v", a.Strength, b.Strength)
	}
	key := func(s rules.State) []string {
		var list []string
		for _, x := range s.Terms {
			list = append(list, fmt.Sprint(x.Side, x.Player, x.Part, x.Length, x.Start, x.End, x.Ended, x.Door))
		}
		slices.Sort(list)
		return list
	}
	if x, y := key(a), key(b); !slices.Equal(x, y) {
		t.Fatalf("terms %v\nbecame %v", x, y)
	}
}

// TestPuttingRightIsEnteringRight: a game entered wrong and put right by
// amendments and strikes is the game entered right the first time, byte for
// byte.
func TestPuttingRightIsEnteringRight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStory(t)
		right := s.ledger(nilTB{})
		g := openGame(nilTB{}, s.division())
		type fix struct {
			id   string
			at   entry.At
			body entry.Body
		}
		var fixes []fix
		var strikes []string
		post := func(at entry.At, body entry.Body) {
			switch rapid.IntRange(0, 3).Draw(t, "slip") {
			case 0: // entered wrong
				wrong := spoil(body)
				fixes = append(fixes, fix{g.post(entry.At{Period: at.Period, Elapsed: at.Elapsed / 2}, wrong), at, body})
			case 1: // entered twice
				g.post(at, body)
				strikes = append(strikes, g.post(at, body))
			case 2: // struck and brought back
				id := g.post(at, body)
				strike := g.of(id, at, entry.Struck{})
				g.of(strike, at, entry.Struck{})
			default:
				g.post(at, body)
			}
		}
		for period := 1; period <= 4; period++ {
			g.begin(period)
			for _, w := range s.whistles {
				if w.period != period {
					continue
				}
				g.post(w.at(), entry.ClockStopped{Elapsed: w.at().Elapsed})
				for _, goal := range w.goals {
					post(w.at(), goal)
				}
				for _, call := range w.calls {
					post(w.at(), call)
				}
			}
		}
		for _, f := range fixes {
			g.of(f.id, f.at, entry.Amended{To: f.body})
		}
		for _, id := range strikes {
			g.of(id, entry.At{}, entry.Struck{})
		}
		if a, b := facts(t, right.ledger), facts(t, g.ledger); a != b {
			t.Fatalf("right     %s\nput right %s", a, b)
		}
	})
}

// spoil turns a body into another of the same kind.
func spoil(body entry.Body) entry.Body {
	switch b := body.(type) {
	case entry.Goal:
		b.Side = b.Side.Other()
		return b
	case entry.Penalty:
		return entry.Penalty{Side: b.Side.Other(), Player: "77", Parts: []entry.Part{entry.Major}}
	default:
		return body
	}
}

// nilTB stands in for a test where a helper cannot fail.
type nilTB struct{ testing.TB }

// Helper does nothing.
func (nilTB) Helper() {}
