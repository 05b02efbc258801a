package schedule_test

import (
	"fmt"
	"os"
	"reflect"
	"slices"
	"testing"

	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

func harbour(t testing.TB) league.League {
	t.Helper()
	text, err := os.ReadFile("../../testdata/league/harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	l, err := league.Read(text, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// large is a league of 40 teams in 6 divisions, 8 sheets and 26 weeks.
func large(t testing.TB) league.League {
	t.Helper()
	text := `name = "Large"` + "\n" + `season = "2026-27"` + "\nfrom = 2026-10-03\nto = 2027-04-03\n" + `zone = "UTC"` + "\n" +
		"[limits]\nrest_minutes = 180\ngames_a_day = 1\ngames_a_week = 2\n"
	for rink := range 4 {
		text += fmt.Sprintf("[[rink]]\nid = \"rink-%d\"\nname = \"Rink %d\"\nsheets = 2\n", rink, rink)
		for sheet := range 2 {
			text += fmt.Sprintf("[[ice]]\nrink = \"rink-%d\"\nsheet = %d\nevery = \"saturday\"\nstart = [\"08:00\", \"09:30\", \"11:00\", \"12:30\"]\nminutes = 90\n", rink, sheet+1)
			text += fmt.Sprintf("[[ice]]\nrink = \"rink-%d\"\nsheet = %d\nevery = \"wednesday\"\nstart = [\"18:00\"]\nminutes = 75\n", rink, sheet+1)
		}
	}
	team := 0
	for d, count := range []int{6, 6, 7, 7, 7, 7} {
		text += fmt.Sprintf("[[division]]\nid = \"d%d\"\nname = \"Division %d\"\nplays = \"harbour-u14\"\nmeetings = 4\nminutes = 75\nteam = [\n", d, d)
		for range count {
			text += fmt.Sprintf("{ id = \"t%d\", name = \"Team %d\", home = \"rink-%d\" },\n", team, team, team%4)
			team++
		}
		text += "]\n"
	}
	l, err := league.Read([]byte(text), "large.toml")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// holds says what is wrong with a plan that was made, by the checker, which shares
// no code with the search.
func holds(t *testing.T, l league.League, plan schedule.Plan) (wishes int) {
	t.Helper()
	for _, c := range schedule.Conflicts(l, plan.Games) {
		if c.Hard {
			t.Errorf("%+v", c)
		}
		wishes++
	}
	met := map[[2]string]int{}
	unplaced := 0
	for _, g := range plan.Games {
		pair := []string{g.Home, g.Visitors}
		slices.Sort(pair)
		met[[2]string{pair[0], pair[1]}]++
		if g.Place == nil {
			unplaced++
		}
	}
	for _, d := range l.Divisions {
		for i, a := range d.Teams {
			for _, b := range d.Teams[i+1:] {
				pair := []string{a.ID, b.ID}
				slices.Sort(pair)
				if met[[2]string{pair[0], pair[1]}] != d.Meetings {
					t.Errorf("%v meet %d times", pair, met[[2]string{pair[0], pair[1]}])
				}
			}
		}
	}
	if unplaced != plan.Unplaced || plan.Cost < plan.Bound {
		t.Errorf("%d without ice, the plan says %d; cost %d, bound %d", unplaced, plan.Unplaced, plan.Cost, plan.Bound)
	}
	return wishes
}

func TestASeasonIsPlacedOnItsIce(t *testing.T) {
	l := harbour(t)
	plan, err := schedule.Make(l, schedule.Settings{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	holds(t, l, plan)
	if plan.Unplaced != 0 {
		t.Errorf("%d games of %d have no ice", plan.Unplaced, len(plan.Games))
	}
	again, err := schedule.Make(l, schedule.Settings{Seed: 1})
	if err != nil || !reflect.DeepEqual(plan, again) {
		t.Error("the same settings make another schedule")
	}
	t.Logf("schedule harbour: cost %d, bound %d, %d games", plan.Cost, plan.Bound, len(plan.Games))
}

func TestTooLittleIceIsSaid(t *testing.T) {
	l := harbour(t)
	l.Ice = l.Ice[:1]
	l.Ice[0].Start = l.Ice[0].Start[:1] // one game a Saturday: 24 for 27
	plan, err := schedule.Make(l, schedule.Settings{Seed: 1, Moves: 20_000})
	if err != nil {
		t.Fatal(err)
	}
	holds(t, l, plan)
	if plan.Unplaced < 3 || plan.Bound < 3*1000 {
		t.Errorf("%d without ice, bound %d", plan.Unplaced, plan.Bound)
	}
}

// A league of this size has to be made without a clash.
func TestALargeSeason(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	l := large(t)
	plan, err := schedule.Make(l, schedule.Settings{Seed: 1, Moves: 200_000})
	if err != nil {
		t.Fatal(err)
	}
	holds(t, l, plan)
	if plan.Unplaced != 0 {
		t.Errorf("%d games of %d have no ice", plan.Unplaced, len(plan.Games))
	}
	t.Logf("schedule large: cost %d, bound %d, %d games, %d slots", plan.Cost, plan.Bound, len(plan.Games), len(l.Slots()))
}

func BenchmarkMakeLarge(b *testing.B) {
	l := large(b)
	for b.Loop() {
		plan, err := schedule.Make(l, schedule.Settings{Seed: 1})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(plan.Cost), "cost")
		b.ReportMetric(float64(plan.Bound), "bound")
		b.ReportMetric(float64(plan.Moves), "moves")
		b.ReportMetric(float64(plan.Unplaced), "unplaced")
	}
}
