package season_test

import (
	"strings"
	"testing"
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
