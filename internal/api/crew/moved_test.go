package crew_test

import (
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/locale"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// Before a game moves, whoever is on duty at it is named: by the desk, and by the file
// that a desk handed to another bench, there with short names.
func TestAMoveNamesThoseOnDuty(t *testing.T) {
	d := made(t)
	l, err := league.Read(d.files.league, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	games, err := schedule.Read(d.files.schedule, l)
	if err != nil {
		t.Fatal(err)
	}
	var one duty
	for _, at := range d.rota() {
		if at.Seat == "clock" && at.Name != "" {
			one = at
			break
		}
	}
	var file string
	d.must("GET", "/api/crew/on-duty.json", nil, &file)
	away := &kept{onDuty: []byte(file)}
	call := &api.Call{Context: t.Context(), Words: locale.English(), Now: entry.Millis(d.now.UnixMilli())}
	said := func(k *kept, change func(*schedule.Game)) string {
		t.Helper()
		for _, g := range games {
			if g.ID != one.Game {
				continue
			}
			if g.Place != nil {
				place := *g.Place
				g.Place = &place
			}
			change(&g)
			lines, err := d.bench(k).Moved(call, games, g)
			if err != nil {
				t.Fatal(err)
			}
			return strings.Join(lines, "\n")
		}
		t.Fatal("no such game")
		return ""
	}
	short := strings.Fields(one.Name)[0]
	for _, k := range []*kept{nil, away} {
		if same := said(k, func(*schedule.Game) {}); same != "" {
			t.Errorf("a game that does not move: %s", same)
		}
		if moved := said(k, func(g *schedule.Game) { g.Place.Start += 15 }); !strings.Contains(moved, "clock: "+short) {
			t.Errorf("%q does not name %s", moved, one.Name)
		}
		off := said(k, func(g *schedule.Game) { g.State, g.Place = schedule.Postponed, nil })
		if !strings.Contains(off, "is not needed then.") || !strings.Contains(off, short) {
			t.Errorf("%q does not name %s", off, one.Name)
		}
	}
	if whole := said(away, func(g *schedule.Game) { g.Place.Start += 15 }); strings.Contains(whole, one.Name) {
		t.Error("a bench without the desk has whole names")
	}
	if none := said(&kept{}, func(g *schedule.Game) { g.Place.Start += 15 }); none != "" {
		t.Errorf("a bench that knows of no duty says %q", none)
	}
	if _, err := d.bench(&kept{onDuty: []byte("{")}).Moved(call, games, games[0]); err == nil {
		t.Error("a file that cannot be read is no file")
	}
}
