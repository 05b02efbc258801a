package schedule_test

import (
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/dates"
	"whistlestop/internal/locale"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

func made(t testing.TB) (league.League, []schedule.Game) {
	t.Helper()
	l := harbour(t)
	plan, err := schedule.Make(l, schedule.Settings{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return l, plan.Games
}

// A game keeps its identity when it is moved; the old place stays readable.
func TestAMovedGameIsTheSameGame(t *testing.T) {
	_, games := made(t)
	g := games[0]
	moved, err := g.Change(schedule.Postponed, nil, "no heating")
	if err != nil {
		t.Fatal(err)
	}
	again, err := moved.Change(schedule.Scheduled, games[1].Place, "new ice")
	if err != nil {
		t.Fatal(err)
	}
	if again.ID != g.ID || again.Sequence() != 2 || g.Sequence() != 0 || again.Was[0].Place != g.Place || again.Was[0].Why != "no heating" || again.Was[1].State != schedule.Postponed {
		t.Errorf("%+v", again)
	}
	for name, wrong := range map[string]func() error{
		"without a reason":          func() error { _, err := g.Change(schedule.Cancelled, nil, ""); return err },
		"scheduled without a place": func() error { _, err := g.Change(schedule.Scheduled, nil, "x"); return err },
		"postponed with a place":    func() error { _, err := g.Change(schedule.Postponed, g.Place, "x"); return err },
		"played": func() error {
			g.State = schedule.Played
			_, err := g.Change(schedule.Cancelled, nil, "x")
			return err
		},
	} {
		if wrong() == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

// Whoever moves a game is told what it touches: each kind of conflict, by a change
// that brings it.
func TestWhatAMoveTouches(t *testing.T) {
	l, games := made(t)
	byID := map[string]schedule.Game{}
	for _, g := range games {
		byID[g.ID] = g
	}
	among := games
	touched := func(id string, place schedule.Place) map[schedule.Kind]schedule.Conflict {
		moved, err := byID[id].Change(schedule.Scheduled, &place, "test")
		if err != nil {
			t.Fatal(err)
		}
		kinds := map[schedule.Kind]schedule.Conflict{}
		for _, c := range schedule.Touches(l, among, moved) {
			kinds[c.Kind] = c
		}
		return kinds
	}
	day := func(text string) dates.Day {
		d, err := dates.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	u12, u14 := byID["u12-001"], byID["u14-001"]
	sat := schedule.Place{Rink: "saltworks", Sheet: 1, Day: day("2026-10-10"), Start: 510, Minutes: 90}
	with := func(change func(*schedule.Place)) schedule.Place { p := sat; change(&p); return p }
	for _, c := range []struct {
		kind schedule.Kind
		game string
		at   schedule.Place
	}{
		{schedule.SameIce, u14.ID, *u12.Place},
		{schedule.NoIce, u14.ID, with(func(p *schedule.Place) { p.Start = 540 })},
		{schedule.TooShort, u14.ID, with(func(p *schedule.Place) { p.Minutes = 60 })},
		{schedule.OtherIce, u12.ID, schedule.Place{Rink: "ropewalk", Sheet: 1, Day: day("2026-10-07"), Start: 1110, Minutes: 75}},
		{schedule.ClosedDay, u14.ID, with(func(p *schedule.Place) { p.Day = day("2026-12-26") })},
		{schedule.HeldFree, u12.ID, with(func(p *schedule.Place) { p.Day = day("2027-03-20") })},
		{schedule.OutOfTimes, u12.ID, schedule.Place{Rink: "ropewalk", Sheet: 1, Day: day("2026-10-07"), Start: 1110, Minutes: 75}},
	} {
		if got, ok := touched(c.game, c.at)[c.kind]; !ok || !got.Hard {
			t.Errorf("%s to %+v: no %s in %+v", c.game, c.at, c.kind, touched(c.game, c.at))
		}
	}
	for id, g := range byID {
		if g.Home == "lanternside-u14" {
			if got := touched(id, with(func(p *schedule.Place) { p.Day = day("2026-11-07") })); got[schedule.TeamAway].Why != "Tournament" {
				t.Errorf("%+v", got)
			}
		}
	}
	// One team twice on a day: two places, rest, a day's games, as the hours between say.
	var other schedule.Game
	for _, g := range games {
		if g.ID != u14.ID && g.Division == "u14" && (g.Home == u14.Home || g.Visitors == u14.Home) && g.Place.Rink == "saltworks" {
			other = g
		}
	}
	among = []schedule.Game{u14, other}
	near := *other.Place
	near.Sheet = 3 - near.Sheet
	if got := touched(u14.ID, near); got[schedule.TwoPlaces].Team != u14.Home || got[schedule.InADay].Team != u14.Home {
		t.Errorf("%+v", got)
	}
	near.Start += 150
	if got := touched(u14.ID, near); got[schedule.Rest].Team != u14.Home || got[schedule.TwoPlaces].Kind != "" {
		t.Errorf("%+v", got)
	}
	// The coach of both teams.
	among = games
	for _, g := range games {
		if g.Division == "u12" && (g.Home == "kelp-bay-u12" || g.Visitors == "kelp-bay-u12") && g.Place.Rink == "saltworks" {
			for _, h := range games {
				if h.Home == "kelp-bay-u14" {
					at := *g.Place
					at.Sheet = 3 - at.Sheet
					if got := touched(h.ID, at); got[schedule.TwoPlaces].Who != "Coach of both Kelp Bay teams" {
						t.Errorf("%+v", got)
					}
				}
			}
		}
	}
}

func TestAScheduleIsReadAsItWasKept(t *testing.T) {
	l, games := made(t)
	games[3], _ = games[3].Change(schedule.Postponed, nil, "no ice")
	text, err := schedule.Keep(l, games)
	if err != nil {
		t.Fatal(err)
	}
	back, err := schedule.Read(text, l)
	if err != nil || !reflect.DeepEqual(back, games) {
		t.Fatalf("%v", err)
	}
	for _, c := range []struct{ replace, by, says string }{
		{`"season": "2026-27"`, `"season": "2025-26"`, "the league is"},
		{`"id": "u12-002"`, `"id": "u12-001"`, "an id of its own"},
		{`"state": "postponed"`, `"state": "late"`, "no state of a game"},
		{`"sheet": 2`, `"sheet": 7`, "no such ice"},
		{`"home": "kelp-bay-u12"`, `"home": "kelp-bay-u14"`, "not two teams of division"},
		{`"version": 1`, `"version": 2`, "form"},
		{`"round": 1`, `"raund": 1`, "no schedule"},
		{`"day": "2026`, `"day": "x`, "no day"},
	} {
		if !strings.Contains(string(text), c.replace) {
			t.Errorf("%s is not in the file", c.replace)
		}
		if _, err := schedule.Read([]byte(strings.Replace(string(text), c.replace, c.by, 1)), l); err == nil || !strings.Contains(locale.English().Error(err), c.says) {
			t.Errorf("%s for %s: %v", c.by, c.replace, err)
		}
	}
}

func FuzzReadSchedule(f *testing.F) {
	l, games := made(f)
	text, err := schedule.Keep(l, games[:3])
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Fuzz(func(t *testing.T, text []byte) {
		games, err := schedule.Read(text, l)
		if err != nil {
			return
		}
		schedule.Conflicts(l, games)
	})
}
