package season_test

import (
	"strings"
	"testing"
)

type incoming struct {
	Games   int
	Columns []struct{ Title, Holds string }
	Fresh   []struct{ ID string }
	Changed []struct {
		ID    string
		Place struct{ Day string }
		Was   []struct {
			Why   string
			Place struct{ Day string }
		}
	}
	Gone     []string
	Clashes  []struct{ Kind string }
	Findings findings
	Kept     bool
	Mark     string
}

// A file from elsewhere is read, says what it changes and what is wrong with it, and is
// taken only into the schedule that it was looked at with.
func TestAFileOfGamesIsLookedAtAndTaken(t *testing.T) {
	o := seasoned(t)
	all := o.plan("")
	moved, other := all.Games[0], all.Games[1]
	lines := []string{
		"Game No;Home;Visitors;Date;Time;Rink;Notes",
		strings.Join([]string{moved.ID, moved.Home, moved.Visitors, "2026-12-26", "10:00", "Saltworks Arena, sheet 1", "x"}, ";"),
		strings.Join([]string{other.ID, other.Home, other.Visitors, "03/04/2026", "10:00", "Saltworks Arena", ""}, ";"),
		strings.Join([]string{"u14-099", "kelp-bay-u14", "millrace-u14", "2027-03-20", "11:00", "Ropewalk Rink", ""}, ";"),
	}
	text := strings.Join(lines, "\n")
	before := string(o.kept.schedule)
	ask := func(query, body string) (out incoming, no string) {
		no = o.ask("PUT", "/api/season/incoming?name=games.csv"+query, body, &out)
		return out, no
	}
	out, no := ask("", text)
	if no != "" || out.Kept || string(o.kept.schedule) != before || out.Games != 2 || len(out.Fresh) != 1 || out.Fresh[0].ID != "u14-099" || len(out.Changed) != 1 {
		t.Fatalf("%+v, %s", out, no)
	}
	if one := out.Changed[0]; one.ID != moved.ID || one.Place.Day != "2026-12-26" || len(one.Was) != 1 || one.Was[0].Place.Day != moved.Place.Day || one.Was[0].Why != "command.schedule.from" {
		t.Errorf("%+v", one)
	}
	closed := false
	for _, clash := range out.Clashes {
		closed = closed || clash.Kind == "closed_day"
	}
	if !closed || len(out.Gone) != len(all.Games)-1 || len(out.Columns) != 7 || out.Columns[0].Holds != "id" || out.Columns[6].Holds != "" {
		t.Errorf("%+v", out)
	}
	said := map[int]string{}
	for _, one := range out.Findings {
		said[one.Line] = one.Text
	}
	if said[1] != "incoming.column" || said[3] != "incoming.day_two_ways" || len(out.Findings) != 2 {
		t.Errorf("%+v", out.Findings)
	}
	if _, no = ask("&keep=00", text); no != "season.schedule_changed" || string(o.kept.schedule) != before {
		t.Errorf("another schedule: %q", no)
	}
	if out, no = ask("&keep="+all.Mark, text); no != "" || !out.Kept || out.Mark == all.Mark {
		t.Errorf("%+v, %s", out, no)
	}
	if now := o.plan(""); len(now.Games) != len(all.Games)+1 || now.Games[0].Place.Day != "2026-12-26" {
		t.Errorf("%+v", now.Games[0])
	}
	if out, no = ask("&keep="+out.Mark, text); no != "" || out.Kept || len(out.Fresh)+len(out.Changed) != 0 {
		t.Errorf("read twice: %+v, %s", out, no)
	}
	for _, wrong := range []struct{ name, text string }{{"games.xlsx", "no workbook"}, {"games.csv", "a,\"b"}, {"games.ics", "no calendar"}} {
		var out incoming
		if no := o.ask("PUT", "/api/season/incoming?name="+wrong.name, wrong.text, &out); no != "" || len(out.Findings) == 0 || out.Kept {
			t.Errorf("%s: %+v, %s", wrong.name, out, no)
		}
	}
}
