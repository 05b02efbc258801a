package seating_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/internal/locale"
)

// instance is a published instance (testdata/checks-season/rota/FORMAT.md) as people
// and games.
type instance struct {
	Buffer int     `json:"buffer_min"`
	Travel [][]int `json:"travel_min"`
	Seats  []struct{ Seat, Need string }
	Games  []struct {
		Day, Rink, Start, End int
		Home, Visitors        string
	}
	Families []struct {
		ID         string
		Teams      []string
		OneAtATime bool `json:"one_at_a_time"`
		Target     int
	}
	Volunteers []struct {
		Family    string
		Ready     map[string]string
		Days      []string
		Away      []int `json:"away_weeks"`
		NotBefore int   `json:"not_before"`
		DayCap    int   `json:"day_cap"`
		SeasonCap int   `json:"season_cap"`
		Far       []int
	}
	Known struct {
		Best  int `json:"best"`
		Pairs int `json:"eligible_pairs"`
	}
}

// monday is week 0, day 0 of the instances.
const monday = dates.Day(4)

func read(t *testing.T, name string) (instance, seating.Rules, []people.Person, []seating.Game) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("../../testdata/checks-season/rota", name))
	if err != nil {
		t.Fatal(err)
	}
	var in instance
	if err := json.Unmarshal(raw, &in); err != nil {
		t.Fatal(err)
	}
	rink := func(i int) string { return string(rune('a' + i)) }
	rules := seating.Rules{BetweenRinks: in.Buffer, Costs: seating.Costs{MustEmpty: 1000, MayEmpty: 200, Fair: 5, SameWeek: 8, Far: 6, OtherGame: 2}}
	for _, s := range in.Seats {
		rules.Seats = append(rules.Seats, seating.Seat{ID: s.Seat, Kind: s.Seat, Need: s.Need, OwnGame: s.Seat != "box"})
	}
	var games []seating.Game
	for i, g := range in.Games {
		drive := map[string]int{}
		for to, minutes := range in.Travel[g.Rink] {
			drive[rink(to)] = minutes
		}
		games = append(games, seating.Game{
			ID: string(rune(1000 + i)), Teams: []string{g.Home, g.Visitors}, Rink: rink(g.Rink), Drive: drive,
			Day: monday + dates.Day(g.Day), Start: dates.Clock(g.Start), Minutes: g.End - g.Start,
		})
	}
	days := map[string][]string{"sat": {"saturday"}, "sun": {"sunday"}, "wkd": {"monday", "tuesday", "wednesday", "thursday", "friday"}}
	var list []people.Person
	for _, v := range in.Volunteers {
		p := people.Person{Name: "v", Family: v.Family, Levels: map[string]people.Level{}, DayMost: v.DayCap, Most: v.SeasonCap}
		for seat, level := range v.Ready {
			p.Levels[seat] = people.Level(level)
		}
		for _, kind := range v.Days {
			for _, name := range days[kind] {
				var day dates.Weekday
				if err := day.UnmarshalText([]byte(name)); err != nil {
					t.Fatal(err)
				}
				p.Days = append(p.Days, day)
			}
		}
		for _, week := range v.Away {
			from := monday + dates.Day(7*week)
			p.Away = append(p.Away, people.Span{From: from, To: from + 6})
		}
		at := dates.Clock(v.NotBefore)
		p.NotBefore = &at
		for _, f := range v.Far {
			p.Far = append(p.Far, rink(f))
		}
		for _, f := range in.Families {
			if f.ID == v.Family {
				p.Teams, p.OneFree = f.Teams, f.OneAtATime
			}
		}
		list = append(list, p)
	}
	return in, rules, list, games
}

// The rules that the published instances state give exactly the pairs that they
// count, and its rota costs their published optimum, or a hundredth more.
func TestThePublishedInstancesAreBuilt(t *testing.T) {
	for _, name := range []string{"tiny.json", "medium.json"} {
		in, rules, list, games := read(t, name)
		plan, err := seating.Build(rules, list, games)
		if err != nil {
			t.Fatal(err)
		}
		pairs := 0
		for _, s := range plan.Problem.Slots {
			pairs += len(s.Candidates)
		}
		if pairs != in.Known.Pairs {
			t.Errorf("%s: %d pairs, published are %d", name, pairs, in.Known.Pairs)
		}
		// Shares are given there, and worked out here.
		for f, id := range plan.Families {
			for _, family := range in.Families {
				if family.ID == id {
					plan.Problem.Families[f].Target = family.Target
				}
			}
		}
		r, err := rota.Make(plan.Problem, rota.Options{Seed: 1, Moves: 200_000})
		if err != nil || len(rota.Check(plan.Problem, r.Who)) != 0 {
			t.Fatalf("%s: %v", name, err)
		}
		if r.Cost < in.Known.Best || r.Cost > in.Known.Best+in.Known.Best/100 {
			t.Errorf("%s: cost %d, the best known is %d", name, r.Cost, in.Known.Best)
		}
	}
}

func harbour(t *testing.T) (seating.Rules, []people.Person, []seating.Game) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/league/harbour-crew.toml")
	if err != nil {
		t.Fatal(err)
	}
	rules, err := seating.Read(text, "harbour-crew.toml")
	if err != nil {
		t.Fatal(err)
	}
	if text, err = os.ReadFile("../../testdata/league/harbour-people.csv"); err != nil {
		t.Fatal(err)
	}
	list, found := people.Read(text, rules.Kinds())
	if len(found) > 0 {
		t.Fatal(found)
	}
	day := func(text string) dates.Day {
		d, err := dates.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	return rules, list, []seating.Game{
		{ID: "u14-1", Division: "u14", Teams: []string{"kelp-bay-u14", "northmole-u14"}, Rink: "saltworks", Day: day("2026-11-07"), Start: 9 * 60, Minutes: 75},
		{ID: "u12-1", Division: "u12", Teams: []string{"lanternside-u12", "millrace-u12"}, Rink: "ropewalk", Day: day("2026-11-07"), Start: 10 * 60, Minutes: 75},
		{ID: "u14-2", Division: "u14", Teams: []string{"millrace-u14", "lanternside-u14"}, Rink: "saltworks", Day: day("2027-01-09"), Start: 13 * 60, Minutes: 75},
	}
}

// Each reason, by somebody of the list whom it keeps out.
func TestWhySomebodyMayNot(t *testing.T) {
	rules, list, games := harbour(t)
	plan, err := seating.Build(rules, list, games)
	if err != nil {
		t.Fatal(err)
	}
	why := func(game, seat, name string) seating.Reason {
		who := slices.IndexFunc(list, func(p people.Person) bool { return p.Name == name })
		for i, s := range plan.Slots {
			if plan.Games[s.Game].ID == game && s.Seat.ID == seat {
				return plan.Why(i, who)
			}
		}
		t.Fatalf("there is no %s at %s", seat, game)
		return ""
	}
	for _, c := range []struct {
		game, seat, name string
		want             seating.Reason
	}{
		{"u14-1", "clock", "Aron Lie", seating.NotReady},
		{"u14-1", "clock", "Maren Holt", seating.Away},
		{"u14-1", "clock", "Jon Holt", seating.TooEarly}, // there at 8:45, not before 10:00
		{"u14-1", "box", "Jon Holt", seating.OwnGame},
		{"u14-1", "clock", "Ida Vik", seating.ChildPlays},
		{"u14-1", "clock", "Odin Moe", seating.WrongDay},
		{"u14-1", "clock", "Tuva Berg", ""},
		{"u14-2", "box", "Sunniva Dahl", seating.NotScreened},
		{"u14-2", "box", "Maren Holt", ""},
		{"u14-2", "clock", "Ida Vik", ""}, // own child's game, and the clock is for parents too
		{"u14-2", "shots", "Eskil Berg", ""},
	} {
		if got := why(c.game, c.seat, c.name); got != c.want {
			t.Errorf("%s at the %s of %s: %q, want %q", c.name, c.seat, c.game, got, c.want)
		}
	}
	list[9].Age, list[9].Days = 13, nil // Odin Moe
	if got := why("u14-1", "clock", "Odin Moe"); got != seating.TooYoung {
		t.Errorf("%q", got)
	}
	r, err := rota.Make(plan.Problem, rota.Options{Seed: 1, Moves: 10_000})
	if err != nil {
		t.Fatal(err)
	}
	// Whoever a reason keeps out sits nowhere, and everybody else is a candidate.
	for i := range plan.Slots {
		for v := range list[:9] {
			candidate := slices.ContainsFunc(plan.Problem.Slots[i].Candidates, func(c rota.Candidate) bool { return c.Person == v })
			if candidate != (plan.Why(i, v) == "") || r.Who[i] == v && !candidate {
				t.Errorf("slot %d, %s: %q, candidate %v", i, list[v].Name, plan.Why(i, v), candidate)
			}
		}
		out, busy := plan.WhyEmpty(i)
		sum := busy
		for _, n := range out {
			sum += n
		}
		if sum != len(list) {
			t.Errorf("slot %d: %v and %d of %d people", i, out, busy, len(list))
		}
	}
}

// Shares add up to the seats, and a family with two children has half a share more.
func TestSharesAddUp(t *testing.T) {
	rules, list, games := harbour(t)
	for n := range games {
		plan, err := seating.Build(rules, list, games[:n+1])
		if err != nil {
			t.Fatal(err)
		}
		sum := 0
		for _, f := range plan.Problem.Families {
			sum += f.Target
		}
		if sum != len(plan.Slots) {
			t.Errorf("shares are %d of %d seats", sum, len(plan.Slots))
		}
	}
	var many []seating.Game
	for i := range 34 {
		g := games[0]
		g.Day += dates.Day(i)
		many = append(many, g)
	}
	// 136 seats for five shares and two of a share and a half: 17 each, and 25 and 26.
	plan, err := seating.Build(rules, list, many)
	if err != nil {
		t.Fatal(err)
	}
	for f, name := range plan.Families {
		want := []int{17}
		if name == "Vik" || name == "Strand" {
			want = []int{25, 26}
		}
		if got := plan.Problem.Families[f].Target; !slices.Contains(want, got) {
			t.Errorf("%s: %d, want one of %v", name, got, want)
		}
	}
}

func TestWrongRulesSayWhere(t *testing.T) {
	text, err := os.ReadFile("../../testdata/league/harbour-crew.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ replace, by, says string }{
		{`need = "must"`, `need = "shall"`, "need is must or may"},
		{`id = "book"`, `id = "clock"`, "an id of its own"},
		{`age = 16`, `age = 160`, "0 to 99 years"},
		{`drive = 25`, `drive = -1`, "below nought"},
		{`own_game = true`, `own_gam = true`, "there is no setting"},
		{`further_child_percent = 50`, `unit = "hours"`, `not "hours"`},
		{`further_child_percent = 50`, `per = "team"`, `not "team"`},
		{`further_child_percent = 50`, `late_hours = 1000`, "late_hours 0 to 720"},
		{`further_child_percent = 50`, `amount = -1`, "0 to 100000 units"},
		{`age = 16`, `credits = 101`, "0 to 100 credits"},
		{`[target]`, "[[pot]]\nname = \"\"\n[target]", "a name of its own"},
		{`[target]`, "[[pot]]\nname = \"a\"\n[[pot]]\nname = \"a\"\n[target]", "a name of its own"},
		{`[target]`, "[[pot]]\nname = \"a\"\nseats = [\"door\"]\n[target]", `no seat "door"`},
		{`[target]`, "[[pot]]\nname = \"a\"\nfrom = \"2027-01-01\"\nby = \"2026-12-31\"\n[target]", "begins after it ends"},
	} {
		if _, err := seating.Read([]byte(strings.Replace(string(text), c.replace, c.by, 1)), "crew.toml"); err == nil || !strings.Contains(locale.English().Error(err), c.says) || !strings.HasPrefix(locale.English().Error(err), "crew.toml") {
			t.Errorf("%s: %v", c.by, err)
		}
	}
}

func FuzzRules(f *testing.F) {
	text, err := os.ReadFile("../../testdata/league/harbour-crew.toml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Fuzz(func(t *testing.T, text []byte) {
		rules, err := seating.Read(text, "x.toml")
		if err != nil {
			return
		}
		if _, err := seating.Build(rules, []people.Person{{Name: "a", Family: "a"}}, []seating.Game{{ID: "g", Rink: "r"}}); err != nil {
			t.Fatal(err)
		}
	})
}

// A rota that people know is held: what was accepted stays, a learner as long as
// somebody can guide, and whoever a rule forbids now is named.
func TestHoldingARota(t *testing.T) {
	rules, list, games := harbour(t)
	plan, err := seating.Build(rules, list, games)
	if err != nil {
		t.Fatal(err)
	}
	first, err := rota.Make(plan.Problem, rota.Options{Seed: 1, Moves: 10_000})
	if err != nil {
		t.Fatal(err)
	}
	all := map[int]bool{}
	for i, v := range first.Who {
		all[i] = v != rota.Nobody
	}
	text, err := seating.Keep(plan.Duties(first.Who, all))
	if err != nil {
		t.Fatal(err)
	}
	duties, err := seating.ReadDuties(text)
	if err != nil {
		t.Fatal(err)
	}
	who, accepted := plan.Stand(duties)
	if !slices.Equal(who, first.Who) {
		t.Fatalf("%v became %v", first.Who, who)
	}
	for v := range list {
		gone := slices.Clone(list)
		gone[v].Levels = nil // knows nothing any more
		now, err := seating.Build(rules, gone, games)
		if err != nil {
			t.Fatal(err)
		}
		problem, broken := now.KeepDuties(who, accepted, 50)
		again, err := rota.Make(problem, rota.Options{Seed: 1, Moves: 10_000})
		if err != nil {
			t.Fatalf("without %s: %v", list[v].Name, err)
		}
		for i, was := range who {
			if was == v && !slices.Contains(broken, i) {
				t.Errorf("without %s: slot %d is not named", list[v].Name, i)
			}
			learns := was != rota.Nobody && list[was].Levels[plan.Slots[i].Seat.Kind] == people.Learner
			if was != v && was != rota.Nobody && !learns && again.Who[i] != was {
				t.Errorf("without %s: the accepted duty %d of %s moved", list[v].Name, i, list[was].Name)
			}
		}
		if faults := rota.Check(now.Problem, again.Who); len(faults) > 0 {
			t.Errorf("without %s: %v", list[v].Name, faults)
		}
	}
	for _, wrong := range []string{
		`{"version":2,"duties":[]}`, `{"version":1,"duties":[{"game":"a","seat":"clock"},{"game":"a","seat":"clock"}]}`,
		`{"version":1,"duties":[{"game":"a","seat":"clock","accepted":true}]}`, `{"version":1,"duty":[]}`, `[]`,
	} {
		if _, err := seating.ReadDuties([]byte(wrong)); err == nil {
			t.Errorf("%s is read", wrong)
		}
	}
}

func FuzzReadDuties(f *testing.F) {
	f.Add([]byte(`{"version":1,"duties":[{"game":"a","seat":"clock","name":"Maren Holt","family":"Holt","accepted":true}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		duties, err := seating.ReadDuties(text)
		if err != nil {
			return
		}
		kept, err := seating.Keep(duties)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := seating.ReadDuties(kept); err != nil || len(again) != len(duties) {
			t.Fatalf("%v: %s", err, kept)
		}
	})
}
