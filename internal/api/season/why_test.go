package season_test

import (
	"strings"
	"testing"

	"whistlestop/game/entry"
)

type behind struct {
	Name   string
	Counts []struct {
		Figure, Game string
		Count        int
		Entry        *struct {
			Entry, Text string
			Elapsed     int `json:"elapsed_ms"`
			Stage       *struct{ Kind string }
		}
	}
	Of []struct {
		ID, Day, Ledger, From string
		Goals                 [2]int
	}
}

// behind looks what stands behind the numbers of the first game: for the bench with
// the sentences, for guests without.
func (o *office) behind(game, team string) {
	o.t.Helper()
	for _, guest := range []bool{false, true} {
		o.guest = guest
		name := map[bool]string{false: "Millrace Nr 4", true: "#4"}[guest]
		var out behind
		if no := o.ask("GET", "/api/season/figures/"+team+"?name="+name, "", &out); no != "" {
			o.t.Fatal(no)
		}
		goals := 0
		for _, one := range out.Counts {
			if one.Figure != "goals" {
				continue
			}
			goals += one.Count
			if one.Game != game || one.Entry == nil || one.Entry.Stage == nil || one.Entry.Stage.Kind != "period" || one.Entry.Elapsed == 0 || (one.Entry.Text == "") != guest {
				o.t.Errorf("guest %v: %+v, %+v", guest, one, one.Entry)
			}
		}
		if goals != 1 || out.Name != name || len(out.Of) != 1 || out.Of[0].Ledger != firstID || out.Of[0].Day == "" || out.Of[0].From != "sealed" {
			o.t.Errorf("guest %v: %+v", guest, out)
		}
		var line struct {
			Line  struct{ Points int }
			Games []struct {
				Game        string
				Won, Points int
			}
			Of []struct{ ID, Ledger string }
		}
		if no := o.ask("GET", "/api/season/standings/"+team, "", &line); no != "" {
			o.t.Fatal(no)
		}
		if len(line.Games) != 1 || line.Games[0].Won != 1 || line.Games[0].Points != line.Line.Points || line.Line.Points == 0 || line.Of[0].Ledger != firstID {
			o.t.Errorf("guest %v: %+v", guest, line)
		}
		if no := o.ask("GET", "/api/season/standings/"+team+"?at=2026-10-01", "", &line); no != "" || line.Line.Points != 0 || len(line.Games) != 0 {
			o.t.Errorf("before the season: %+v, %s", line, no)
		}
	}
	o.guest = false
	var listed struct {
		Suspended []struct {
			Entries []struct{ Entry, Text string }
		}
	}
	if no := o.ask("GET", "/api/season/suspensions", "", &listed); no != "" || len(listed.Suspended) != 1 || len(listed.Suspended[0].Entries) != 1 ||
		!strings.HasPrefix(listed.Suspended[0].Entries[0].Text, "line.penalty") {
		o.t.Errorf("the call that earned it: %+v, %s", listed, no)
	}
}

// What nobody counts has nothing behind it; names are no way for guests to find a number.
func TestNobodyStandsBehindWhatIsNotThere(t *testing.T) {
	o := seasoned(t)
	var out behind
	for path, want := range map[string]string{
		"/api/season/standings/nobody":                      "season.no_line",
		"/api/season/standings/millrace-u14?at=yesterday":   "season.refused",
		"/api/season/figures/millrace-u14?name=Tove":        "season.no_person",
		"/api/season/figures/millrace-u14?who=millrace/u14": "season.no_person",
	} {
		if no := o.ask("GET", path, "", &out); no != want {
			t.Errorf("%s: %q, want %q", path, no, want)
		}
	}
}

// Who played for two teams leads with the sum of both: with all of their teams, what
// stands behind the number adds up to it, for the bench and for guests; with one it does not.
func TestALeadersNumberOpensTheGamesOfBothTeams(t *testing.T) {
	o := newOffice(t)
	const one, other = "millrace-u14", "kelp-bay-u14"
	person := "\n[[person]]\nid = \"tove\"\nname = \"Tove\"\nteams = [\"" + one + "\", \"" + other + "\"]\n"
	if out, no := o.put(harbour(t) + person); no != "" || !out.Kept {
		t.Fatalf("%+v, %s", out, no)
	}
	var made struct{ Kept bool }
	if no := o.ask("POST", "/api/season/schedule", `{"seed":3}`, &made); no != "" || !made.Kept {
		t.Fatal(no)
	}
	score := func(id, team, against, number string, goals int) {
		for _, g := range o.plan("?team=" + team).Games {
			if g.Home != team || g.Visitors == against {
				continue
			}
			home := roster("Home "+id, number, "17")
			home.Players[1].Name = "Tove"
			if no := o.open(g.ID, id, home, roster("Others "+id, "8"), ""); no != "" {
				t.Fatal(no)
			}
			o.post(id, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)})
			for range goals {
				o.post(id, entry.Goal{Side: entry.Home, Scorer: entry.Jersey(number)})
			}
			o.post(id, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
			o.seal(id)
			return
		}
		t.Fatalf("%s has no such game at home", team)
	}
	score(firstID, one, other, "4", 2)
	score(secondID, other, one, "9", 1)
	for _, guest := range []bool{false, true} {
		o.guest = guest
		var figures struct {
			Leaders []struct {
				By   string
				Rows []struct {
					Who, Name string
					Teams     []string
					Value     int
				}
			}
		}
		if no := o.ask("GET", "/api/season/figures?division=u14", "", &figures); no != "" {
			t.Fatal(no)
		}
		seen := 0
		for _, list := range figures.Leaders {
			if list.By != "goals" {
				continue
			}
			for _, row := range list.Rows {
				if len(row.Teams) != 2 || row.Value != 3 || (row.Who == "") != guest {
					t.Fatalf("guest %v: %+v", guest, row)
				}
				seen++
				who := "who=" + row.Who
				if guest {
					who = "name=" + row.Name
				}
				team := row.Teams[1]
				if got, games := o.goals(team, who+"&division=u14&all=yes"); got != 3 || games != 2 {
					t.Errorf("guest %v: %d goals in %d games behind both teams", guest, got, games)
				}
				if got, games := o.goals(team, who+"&division=u14"); got == 3 || games != 1 {
					t.Errorf("guest %v: %d goals in %d games behind one team", guest, got, games)
				}
			}
		}
		if seen != 1 {
			t.Errorf("guest %v: %d leaders by goals: %+v", guest, seen, figures.Leaders)
		}
	}
}

// goals counts the goals behind somebody's figures, each with its entry, and the games.
func (o *office) goals(team, query string) (goals, games int) {
	o.t.Helper()
	var out behind
	if no := o.ask("GET", "/api/season/figures/"+team+"?"+query, "", &out); no != "" {
		o.t.Fatal(no)
	}
	for _, one := range out.Counts {
		if one.Figure == "goals" && one.Entry != nil {
			goals += one.Count
		}
	}
	return goals, len(out.Of)
}
