package tally_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/locale"
	"whistlestop/season/figures"
	"whistlestop/season/league"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
	"whistlestop/season/suspensions"
	"whistlestop/season/tally"
)

func season(t testing.TB, one *tally.Tally) tally.Season {
	t.Helper()
	s, err := one.Season()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func start(t testing.TB, l league.League, games []schedule.Game, d league.Decisions) *tally.Tally {
	t.Helper()
	one, err := tally.New(l, games, d)
	if err != nil {
		t.Fatal(err)
	}
	return one
}

func text(t testing.TB, v any) string {
	t.Helper()
	raw, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// A season that goes on game by game, with games changed, taken out, moved, postponed
// and put back, is the season of what is there at the end, put in at once in any order.
func TestGameByGameEqualsAtOnce(t *testing.T) {
	seeds := 60
	if testing.Short() {
		seeds = 12
	}
	for seed := range seeds {
		random := rand.New(rand.NewPCG(uint64(seed), 7))
		l, games := body(t, 2, 4, 2, []string{"usah-nationals", "iihf", "ontario-rr", "hockey-east-2008"}[seed%4])
		if seed%3 == 0 {
			l.Suspensions.Serving.Elsewhere, l.Suspensions.Serving.Coaches = "no_game", "no_team"
			l.People = []league.Person{{ID: "p1", Name: "Player 1", Teams: []string{"d0-t00", "d1-t00"}}}
		}
		l.Suspensions.Book = []string{"usah", "hc-manitoba-league", "hc-ontario-alliance"}[seed%3]
		d := league.Decisions{
			Forfeits: []league.Forfeit{{Game: games[3].ID, To: games[3].Home, Why: "nobody came"}},
			Results:  []league.Typed{{Game: games[5].ID, Home: 2, Visitors: 1, How: "reg", Why: "paper"}},
			Rulings:  []league.Ruling{{Person: "d0-t01/Player 2", Games: 3, Why: "hearing"}},
			Points:   []league.Points{{Team: "d0-t02", Points: -1, Why: "fine"}},
			OnRecord: []league.OnRecord{{Person: "d1-t01/Player 3", Minutes: 90, Misconducts: 2, Games: 1, Why: "last season"}},
		}
		grown := start(t, l, games, d)
		there := map[string]results.Facts{}
		stands := slices.Clone(games)
		for step := range 120 {
			i := random.IntN(len(games))
			g := stands[i]
			switch random.IntN(8) {
			case 0:
				grown.Remove("ledger-" + g.ID)
				delete(there, g.ID)
			case 1:
				to, place := schedule.Scheduled, &schedule.Place{Rink: "saltworks", Sheet: 1, Day: l.From + 60, Start: 600, Minutes: 60}
				if random.IntN(2) == 0 {
					to, place = schedule.Postponed, nil
				}
				changed, err := g.Change(to, place, "heating")
				if err != nil {
					t.Fatal(err)
				}
				stands[i] = changed
				if err := grown.Change(changed); err != nil {
					t.Fatal(err)
				}
			default:
				f := report(random, l, games[i], 6)
				if f.Sealed = random.IntN(4) > 0; !f.Sealed {
					f.Seals = random.IntN(2)
				}
				grown.Put(f)
				there[g.ID] = f
			}
			if step%40 == 0 {
				season(t, grown) // what was worked out before does not stay
			}
		}
		again := start(t, l, stands, d)
		order := make([]string, 0, len(there))
		for id := range there {
			order = append(order, id)
		}
		slices.Sort(order)
		random.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		for _, id := range order {
			again.Put(there[id])
		}
		got, want := text(t, season(t, grown)), text(t, season(t, again))
		if got != want {
			t.Fatalf("seed %d: game by game %s", seed, firstDifference(got, want))
		}
		for _, g := range games {
			a, err := grown.Out(g.ID)
			if err != nil {
				t.Fatal(err)
			}
			b, err := again.Out(g.ID)
			if err != nil {
				t.Fatal(err)
			}
			if text(t, a) != text(t, b) {
				t.Fatalf("seed %d, %s: out %v, at once %v", seed, g.ID, a, b)
			}
		}
	}
}

func firstDifference(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("has in line %d\n%s\nat once it is\n%s", i, strings.Join(a[max(0, i-12):min(len(a), i+3)], "\n"), strings.Join(b[max(0, i-12):min(len(b), i+3)], "\n"))
		}
	}
	return "is longer or shorter"
}

// One game with a game misconduct: the team's next game takes it (USA Hockey 404(b)),
// and who stands on that game's sheet as suspended served it.
func TestAGameMisconductIsServed(t *testing.T) {
	l, games := body(t, 1, 4, 2, "usah-nationals")
	one := start(t, l, games, league.Decisions{})
	mine := func(id string) (list []schedule.Game) {
		for _, g := range games {
			if g.Home == id || g.Visitors == id {
				list = append(list, g)
			}
		}
		slices.SortFunc(list, func(a, b schedule.Game) int { return a.Place.Begin() - b.Place.Begin() })
		return list
	}("d0-t00")
	f := report(rand.New(rand.NewPCG(1, 1)), l, mine[0], 6)
	side := 0
	if mine[0].Visitors == "d0-t00" {
		side = 1
	}
	f.Calls = [2][]suspensions.Call{}
	f.Calls[side] = []suspensions.Call{{Who: "Player 4", Parts: []entry.Part{entry.GameMisconduct}}}
	f.PenaltyEntries[side] = []string{"the call"}
	one.Put(f)
	s := season(t, one)
	if len(s.Suspensions) != 1 || s.Suspensions[0].Why != "404(b)" || !slices.Equal(s.Suspensions[0].Next, []string{mine[1].ID}) ||
		s.Suspensions[0].Entries[0] != "the call" || !s.AtLeast {
		t.Fatalf("%s", text(t, s.Suspensions))
	}
	out, err := one.Out(mine[1].ID)
	if err != nil || len(out) != 1 || out[0].Name != "Player 4" || out[0].Number != 1 || out[0].Game != mine[0].ID {
		t.Fatalf("%v %s", err, text(t, out))
	}
	if out, err := one.Out(mine[2].ID); err != nil || len(out) != 0 {
		t.Fatalf("%v %s", err, text(t, out))
	}

	// Who plays all the same has not served it: the game after that takes it, and a finding says so.
	next := report(rand.New(rand.NewPCG(2, 1)), l, mine[1], 6)
	next.Calls = [2][]suspensions.Call{}
	one.Put(next)
	s = season(t, one)
	if !slices.Equal(s.Suspensions[0].Next, []string{mine[2].ID}) || len(s.Findings) != 1 || s.Findings[0].Say.Key != "tally.took_part" {
		t.Fatalf("%s %s", text(t, s.Suspensions), text(t, s.Findings))
	}
	if said := locale.English().Text(s.Findings[0].Say.Key, s.Findings[0].Say.Args); !strings.Contains(said, "Player 4 took part in") {
		t.Errorf("%s", said)
	}

	// Listed as suspended: served, with the trace.
	side = 0
	if mine[1].Visitors == "d0-t00" {
		side = 1
	}
	for i := range next.Sheet[side] {
		if next.Sheet[side][i].Who == "Player 4" {
			next.Sheet[side][i].Status = entry.Suspended
		}
	}
	one.Put(next)
	s = season(t, one)
	if want := (tally.Served{Game: mine[1].ID, Listed: true, Sheet: true, Number: 1}); len(s.Findings) != 0 || len(s.Suspensions[0].Served) != 1 || s.Suspensions[0].Served[0] != want {
		t.Fatalf("%s %s", text(t, s.Suspensions), text(t, s.Findings))
	}
}

// A sealed game that is amended and sealed again changes what people have: each thing
// is listed, and what was served for nothing is not undone in silence.
func TestWhatChangedForPeopleIsListed(t *testing.T) {
	l, games := body(t, 1, 4, 2, "usah-nationals")
	one := start(t, l, games, league.Decisions{})
	random := rand.New(rand.NewPCG(5, 5))
	for _, g := range games[:8] {
		f := report(random, l, g, 6)
		f.Calls = [2][]suspensions.Call{}
		one.Put(f)
	}
	f := report(random, l, games[0], 6)
	f.Calls = [2][]suspensions.Call{{{Who: "Player 4", Parts: []entry.Part{entry.GameMisconduct}}}, nil}
	f.PenaltyEntries = [2][]string{{"a"}, nil}
	f.Figures.Goals, f.GoalEntries, f.Result.HomeGoals, f.Result.AwayGoals, f.Result.How = nil, nil, 0, 0, "reg"
	one.Put(f)
	before := season(t, one)
	if len(before.Suspensions) != 1 || len(tally.Changes(before, before)) != 0 {
		t.Fatalf("%s %v", text(t, before.Suspensions), tally.Changes(before, before))
	}
	f.Calls, f.PenaltyEntries = [2][]suspensions.Call{}, [2][]string{}
	f.Result.HomeGoals, f.Seals = 1, 2
	f.Figures.Goals = []figures.Goal{{At: figures.At{Period: 1, Second: 5}, By: "Player 1"}}
	f.GoalEntries, f.Figures.Decided = []string{"g"}, figures.InRegulation
	one.Put(f)
	after := season(t, one)
	said := map[string]int{}
	for _, c := range tally.Changes(before, after) {
		said[c.Say.Key]++
		if sentence := locale.English().Text(c.Say.Key, c.Say.Args); strings.Contains(sentence, "@") || strings.Contains(sentence, "{") {
			t.Errorf("%s", sentence)
		}
	}
	for key, want := range map[string]int{"tally.changed_result": 1, "tally.changed_place": 1, "tally.changed_figure": 2} {
		if said[key] < want {
			t.Errorf("%s: %d of %d in %v", key, said[key], want, said)
		}
	}
	// He played all the same in these games, so that nothing was served yet.
	if said["tally.changed_owes_not"] != 1 {
		t.Errorf("%v", said)
	}
	back := tally.Changes(after, before)
	if !slices.ContainsFunc(back, func(c tally.Change) bool { return c.Say.Key == "tally.changed_owes" }) {
		t.Errorf("%v", back)
	}
	if mine := tally.Of(back, before.Suspensions[0].Who); len(mine) == 0 || len(mine) >= len(back) {
		t.Errorf("%v of %v", mine, back)
	}
}

// Each number of each line opens what it counts, and that adds up to it.
func TestEveryFigureOpensWhatIsBehindIt(t *testing.T) {
	l, games := body(t, 1, 4, 2, "usah-nationals")
	one := start(t, l, games, league.Decisions{})
	random := rand.New(rand.NewPCG(9, 9))
	for _, g := range games {
		one.Put(report(random, l, g, 6))
	}
	s := season(t, one)
	sums := func(who figures.Person) map[string]int {
		sum := map[string]int{}
		for _, b := range one.Behind(string(who)) {
			sum[b.Figure] += b.Count
			if b.Figure == "goals" && b.Entry == "" {
				t.Errorf("a goal of %s without its entry", who)
			}
		}
		return sum
	}
	if len(s.Skaters) == 0 || len(s.Keepers) == 0 {
		t.Fatal("nobody")
	}
	for _, line := range s.Skaters {
		for figure, want := range map[string]int{
			"played": line.Played, "goals": line.Goals, "assists": line.Assists, "minutes": line.Minutes, "plus_minus": line.PlusMinus(),
			"power_play": line.PowerPlay, "short_handed": line.ShortHanded, "winning": line.Winning,
		} {
			if got := sums(line.Who)[figure]; got != want {
				t.Errorf("%s: %s %d, behind it %d", line.Who, figure, want, got)
			}
		}
	}
	for _, line := range s.Keepers {
		for figure, want := range map[string]int{
			"played": line.Played, "won": line.Wins, "lost": line.Losses, "late_lost": line.LateLosses, "drawn": line.Draws,
			"shutouts": line.Shutouts, "against": line.Against, "shots": line.Shots,
		} {
			if got := sums(line.Who)[figure]; got != want {
				t.Errorf("%s: %s %d, behind it %d", line.Who, figure, want, got)
			}
		}
	}
}
