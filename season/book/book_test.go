package book_test

import (
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/locale"
	"whistlestop/record/tables"
	"whistlestop/season/book"
	"whistlestop/season/figures"
	"whistlestop/season/league"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
	"whistlestop/season/tally"
)

// season is the invented league with one game of the first team of each division: 2-1,
// with a game misconduct of its 17 and of its coach.
func season(t *testing.T) (league.League, tally.Season, book.People) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/league/harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	l, err := league.Read(text, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := schedule.Make(l, schedule.Settings{Seed: 1, Moves: 5000})
	if err != nil {
		t.Fatal(err)
	}
	abandoned := ""
	seen := map[string]int{}
	facts := map[string]results.Facts{}
	for i, g := range plan.Games {
		seen[g.Division]++
		switch seen[g.Division] {
		case 1:
			facts["ledger-"+g.ID] = game(l, g)
		case 2:
			if g.Division == "u14" {
				plan.Games[i].State, abandoned = schedule.Abandoned, g.ID
			}
		}
	}
	one, err := tally.New(l, plan.Games, league.Decisions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range facts {
		one.Put(f)
	}
	s, err := one.Season()
	if err != nil || abandoned == "" {
		t.Fatal(err)
	}
	return l, s, book.PeopleOf(s, func(ledger string) (results.Facts, bool) {
		f, known := facts[ledger]
		return f, known
	})
}

func game(l league.League, g schedule.Game) results.Facts {
	f := results.Facts{
		Ledger: "ledger-" + g.ID, Schedule: g.ID, Date: g.Place.Day.String(), Over: true, Sealed: true, Seals: 1, Coach: [2]string{"Odd Coach", "Even Coach"},
		Result: standings.Game{HomeGoals: 2, AwayGoals: 1, How: standings.Overtime}, Withdrawn: [2][]entry.Jersey{{"9"}, {"9"}},
	}
	for _, d := range l.Divisions {
		for _, in := range d.Teams {
			for side, id := range []string{g.Home, g.Visitors} {
				if in.ID == id {
					f.Names[side] = in.Name
				}
			}
		}
	}
	f.Result.Home, f.Result.Away = standings.Team(f.Names[0]), standings.Team(f.Names[1])
	f.Figures.Decided = figures.InOvertime
	for side := range 2 {
		for who, number := range map[string]entry.Jersey{"Alva Reed": "17", "Nell Gone": "9", "Kai Net": "1"} {
			f.Sheet[side] = append(f.Sheet[side], results.Listed{Who: who, Number: number})
		}
		slices.SortFunc(f.Sheet[side], func(a, b results.Listed) int { return strings.Compare(a.Who, b.Who) })
		f.Figures.Skaters = append(f.Figures.Skaters, figures.Skater{Side: figures.Side(side), Who: "Alva Reed"}, figures.Skater{Side: figures.Side(side), Who: "Nell Gone"})
		f.Figures.Keepers = append(f.Figures.Keepers, figures.Keeper{Side: figures.Side(side), Who: "Kai Net", Seconds: 2700, Shots: 20, Against: 2 - side})
	}
	f.Figures.Goals = []figures.Goal{{Side: 0, By: "Alva Reed"}, {Side: 1, By: "Alva Reed"}, {Side: 0, By: "Nell Gone", Assists: []figures.Person{"Alva Reed"}}}
	f.GoalEntries = []string{"g1", "g2", "g3"}
	f.Calls[0] = []suspensions.Call{{Who: "Alva Reed", Parts: []entry.Part{entry.GameMisconduct}}}
	f.PenaltyEntries[0] = []string{"call"}
	return f
}

// all is every text of a document.
func all(d tables.Document) string {
	var out strings.Builder
	for _, about := range d.About {
		out.WriteString(about.In(locale.English()) + "\n")
	}
	for _, part := range d.Parts {
		for _, t := range part.Tables {
			for _, row := range t.Rows {
				for _, cell := range row {
					out.WriteString(cell.In(locale.English()) + "|")
				}
				out.WriteString("\n")
			}
			for _, note := range t.Notes {
				out.WriteString(locale.English().Text(note.Key, note.Args) + "\n")
			}
		}
	}
	return out.String()
}

func TestABook(t *testing.T) {
	l, s, people := season(t)
	d := book.Of(l, s, people, book.Options{})
	if !reflect.DeepEqual(d, book.Of(l, s, people, book.Options{Names: book.NoNames})) {
		t.Error("the same season, another book")
	}
	if len(d.Parts) != 3 || !slices.Equal(d.Names(), slices.DeleteFunc(slices.Clone(book.Kinds), func(name string) bool { return name == book.Schedule })) {
		t.Errorf("%d parts, %v", len(d.Parts), d.Names())
	}
	for _, part := range d.Parts {
		for _, table := range part.Tables {
			wide := 0
			for _, c := range table.Columns {
				if c.Wide {
					wide++
				}
			}
			for _, row := range table.Rows {
				if len(row) != len(table.Columns) {
					t.Errorf("%s: %d cells for %d columns", table.Name, len(row), len(table.Columns))
				}
			}
			if wide != 1 {
				t.Errorf("%s: %d wide columns", table.Name, wide)
			}
		}
	}
	// On paper a column of noughts goes, but no half of a score.
	for _, table := range d.Parts[1].Tables {
		for _, c := range table.Columns {
			if score := strings.HasSuffix(c.Name, "_goals") || strings.HasPrefix(c.Name, "goals_"); score && !c.Kept || c.Name == "overtime_wins" && c.Kept {
				t.Errorf("%s, %s: kept %t", table.Name, c.Name, c.Kept)
			}
		}
	}
	for _, kind := range book.Kinds {
		only := book.Of(l, s, people, book.Options{What: kind, Division: "u14"})
		if len(only.Parts) != 1 || !slices.Equal(only.Names(), []string{kind}) {
			t.Errorf("%s: %v", kind, only.Names())
		}
	}
	if text := all(book.Of(l, s, people, book.Options{What: book.Standings})); !strings.Contains(text, "was abandoned. It counts once a decision says how") {
		t.Errorf("what is still open is not said:\n%s", text)
	}
}

// Without names there are numbers, and nothing of grown-ups, rules, or whoever was taken out.
func TestNamesInABook(t *testing.T) {
	l, s, people := season(t)
	for _, test := range []struct {
		names      book.Names
		has, hasNo []string
	}{
		{book.NoNames, []string{"#17|", "–|", "numbers"}, []string{"Alva", "Nell", "#9|", "404", "Coach"}},
		{book.AllNames, []string{"Alva Reed|", "Nell Gone|", "404(b)"}, []string{"#17|", "numbers"}},
		{book.AdultNames, []string{"Alva Reed|", "#17|", "404(b)"}, []string{"#9|"}},
	} {
		text := all(book.Of(l, s, people, book.Options{Names: test.names}))
		for _, want := range test.has {
			if !strings.Contains(text, want) && want != "–|" || want == "–|" && !strings.Contains(text, entry.TakenOut+"|") {
				t.Errorf("names %s: %q is not in\n%s", test.names, want, text)
			}
		}
		for _, no := range test.hasNo {
			if strings.Contains(text, no) {
				t.Errorf("names %s: %q is in\n%s", test.names, no, text)
			}
		}
	}
	if young := all(book.Of(l, s, people, book.Options{Names: book.AdultNames, Division: "u14"})); strings.Contains(young, "Alva") {
		t.Errorf("a child's name:\n%s", young)
	}
}
