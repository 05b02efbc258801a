package standings_test

import (
	"fmt"
	"strings"
	"testing"

	"whistlestop/internal/locale"
	"whistlestop/season/standings"
)

// game is "A-B 2-1" with an optional way.
func game(t testing.TB, text string) standings.Game {
	t.Helper()
	var home, away string
	g := standings.Game{ID: text, How: standings.Regulation}
	fields := strings.Fields(text)
	home, away, _ = strings.Cut(fields[0], "-")
	g.Home, g.Away = standings.Team(home), standings.Team(away)
	if _, err := fmt.Sscanf(fields[1], "%d-%d", &g.HomeGoals, &g.AwayGoals); err != nil {
		t.Fatal(err)
	}
	if len(fields) > 2 {
		g.How = standings.How(fields[2])
	}
	return g
}

func rank(t testing.TB, p standings.Procedure, games ...string) standings.Table {
	t.Helper()
	var list []standings.Game
	teams := map[standings.Team]bool{}
	var order []standings.Team
	for _, text := range games {
		g := game(t, text)
		list = append(list, g)
		for _, team := range []standings.Team{g.Home, g.Away} {
			if !teams[team] {
				teams[team] = true
				order = append(order, team)
			}
		}
	}
	table, err := standings.Rank(order, list, p, standings.Given{})
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func steps(t testing.TB, words ...string) (list []standings.Step) {
	t.Helper()
	for _, word := range words {
		var step standings.Step
		if err := step.UnmarshalText([]byte(word)); err != nil {
			t.Fatal(err)
		}
		list = append(list, step)
	}
	return list
}

// Three are equal on points: by the difference in their own games A is best and the
// others are equal, by all goals C is best and B last, and B beat C. The five ways
// place them differently (best-only is a Peterborough tournament's, all-at-once an
// over-60 league's, as their rules say it; the games are made up).
func TestTheWaysDiffer(t *testing.T) {
	games := []string{"A-B 3-0", "B-C 2-0", "C-A 1-0", "A-D 1-0", "B-D 1-0", "C-D 9-0"}
	p := standings.Procedures()["sweden-series"]
	p.Two = steps(t, "h2h.gd", "gf")
	for _, test := range []struct {
		way  standings.Way
		want string
	}{
		{standings.Continue, "[A C B D] h2h.gd gf"},
		{standings.Restart, "[A B C D] h2h.gd h2h.gd"},
		{standings.TwoLeft, "[A B C D] h2h.gd h2h.gd"},
		{standings.BestOnly, "[A B C D] h2h.gd h2h.gd"},
		{standings.AllAtOnce, "[C A B D] gf"},
	} {
		p.Way = test.way
		table := rank(t, p, games...)
		got := fmt.Sprint(table.Order())
		for _, d := range table.Decided {
			got += " " + d.Step.String()
		}
		if got != test.want {
			t.Errorf("%s: %s, want %s", test.way, got, test.want)
		}
	}
}

func TestReasonsAreSentences(t *testing.T) {
	names := map[standings.Team]string{"A": "Millrace", "B": "Northmole", "C": "Kelp Bay", "D": "Lanternside"}
	name := func(team standings.Team) string { return names[team] }
	text := func(table standings.Table) (list []string) {
		for _, reason := range table.Why() {
			say := reason.Say(name)
			list = append(list, locale.English().Text(say.Key, say.Args))
		}
		for _, equal := range table.Equal {
			say := standings.SayEqual(equal, name)
			list = append(list, locale.English().Text(say.Key, say.Args))
		}
		return list
	}
	for _, test := range []struct {
		procedure string
		games     []string
		want      string
	}{
		{"iihf", []string{"A-B 2-1", "A-C 1-0", "B-C 1-0", "B-D 4-0", "C-D 1-0", "D-A 2-0"},
			"Millrace above Northmole: 3 to 0, points in the games between them. " +
				"Kelp Bay above Lanternside: 3 to 0, points in the games between them."},
		{"usah-nationals", []string{"A-B 12-1", "B-C 5-0", "C-A 4-0", "A-D 3-1", "B-D 2-1", "C-D 2-0"},
			"Millrace above Kelp Bay: 4 to -1, goal difference in the games among the 3 equal teams, at most 8 a game. " +
				"Kelp Bay above Northmole: -1 to -3, goal difference in the games among the 3 equal teams, at most 8 a game."},
		{"sweden-series", []string{"A-B 1-1"},
			"Millrace, Northmole are equal after every step: the league has to say who stands first, by lots or a game."},
		{"iihf", []string{"A-B 1-0", "B-C 1-0", "C-A 1-0", "A-D 1-2", "B-D 1-4", "C-D 1-3"},
			"Millrace above Kelp Bay: -1 to -2, goal difference in the games against Lanternside. " +
				"Kelp Bay above Northmole: -2 to -3, goal difference in the games against Lanternside."},
	} {
		table := rank(t, standings.Procedures()[test.procedure], test.games...)
		if got := strings.Join(text(table), " "); got != test.want {
			t.Errorf("%s %v:\n%s\nwant\n%s", test.procedure, test.games, got, test.want)
		}
	}
}

func TestWrongFilesAreRefused(t *testing.T) {
	head := "[own]\npoints = { regulation_win = 2, draw = 1 }\n"
	for _, test := range []struct{ text, want string }{
		{head + "first = \"pts\"\nway = \"sideways\"\n", `own.toml, line 1: own: way: "sideways" is none of`},
		{head + "first = \"gd\"\nway = \"restart\"\n", `first: "gd": a table ranks by`},
		{head + "first = \"pts\"\nway = \"restart\"\ntwo = [\"luck\"]\n", `"luck" is no step of a ladder`},
		{head + "first = \"pts\"\nway = \"restart\"\ntwo = [\"h2h.seeding\"]\n", "does not go with games among"},
		{head + "first = \"pts\"\nway = \"restart\"\ntwo = [\"w8\"]\n", "only goals can be cut"},
		{head + "first = \"pts\"\nway = \"restart\"\ncoin = true\n", `there is no setting "own.coin"`},
		{"[own]\nfirst = \"pts\"\nway = \"restart\"\n", "no game gives any"},
	} {
		_, err := standings.ReadProcedures([]byte(test.text), "own.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), test.want) {
			t.Errorf("%q: %v, want %s", test.text, err, test.want)
		}
	}
}

func TestGamesThatCannotBe(t *testing.T) {
	for _, g := range []standings.Game{
		{Home: "A", Away: "A", How: standings.Regulation},
		{Home: "A", Away: "B", How: standings.Overtime},
		{Home: "A", Away: "B", HomeGoals: -1, How: standings.Regulation},
		{Home: "A", Away: "B", How: "by luck"},
		{Home: "A", Away: "B", How: standings.Regulation, Won: "both"},
	} {
		if _, err := standings.Rank([]standings.Team{"A", "B"}, []standings.Game{g}, standings.Procedures()["iihf"], standings.Given{}); err == nil {
			t.Errorf("%+v was ranked", g)
		}
	}
}

func FuzzProcedures(f *testing.F) {
	f.Add([]byte("[own]\npoints = { regulation_win = 2, draw = 1 }\nfirst = \"pts\"\ntwo = [\"h2h.gd8\"]\nway = \"restart\"\n"))
	f.Add([]byte("[[own]]\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := standings.ReadProcedures(text, "own.toml")
		if err != nil {
			return
		}
		for id, p := range list {
			if _, err := standings.Rank([]standings.Team{"A", "B", "C"}, []standings.Game{
				{Home: "A", Away: "B", HomeGoals: 2, How: standings.Regulation}, {Home: "B", Away: "C", AwayGoals: 1, HomeGoals: 3, How: standings.Regulation},
				{Home: "C", Away: "A", HomeGoals: 4, AwayGoals: 1, How: standings.Regulation},
			}, p, standings.Given{}); err != nil {
				t.Errorf("%s was read and does not rank: %v", id, err)
			}
		}
	})
}

// BenchmarkSeason ranks a real season of 1,312 games with all its ties.
func BenchmarkSeason(b *testing.B) {
	for _, c := range readChecks(b) {
		if len(c.Games) < 1000 {
			continue
		}
		games, p := c.games(b), c.procedure(b)
		for b.Loop() {
			if _, err := standings.Rank(c.Teams, games, p, standings.Given{}); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(len(games)), "games")
		return
	}
	b.Fatal("there is no season of a thousand games")
}
