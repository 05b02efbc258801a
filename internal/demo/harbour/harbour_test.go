package harbour

import (
	"bytes"
	"os"
	"testing"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// The invented desk stands on any day of a year: its files are read by what reads them,
// no hard rule is broken, some came, some are to come, and somebody new waits.
func TestDesk(t *testing.T) {
	first, err := dates.Parse("2026-11-29")
	if err != nil {
		t.Fatal(err)
	}
	for _, today := range []dates.Day{first, first + 1, first + 94, first + 200} {
		s, err := Desk(today, make([]byte, duties.KeyBytes))
		if err != nil {
			t.Fatal(err)
		}
		again, err := Desk(today, make([]byte, duties.KeyBytes))
		if err != nil || !bytes.Equal(s.Rota, again.Rota) || !bytes.Equal(s.Log, again.Log) {
			t.Errorf("%v: made again it is another one (%v)", today, err)
		}
		l, err := league.Read(s.League, "league")
		if err != nil {
			t.Fatal(err)
		}
		games, err := schedule.Read(s.Schedule, l)
		if err != nil {
			t.Fatal(err)
		}
		rules, err := seating.Read(s.Rules, "crew")
		if err != nil {
			t.Fatal(err)
		}
		list, found := people.Read(s.People, rules.Kinds())
		kept, err := seating.ReadDuties(s.Rota)
		if err != nil || len(found) > 0 {
			t.Fatal(err, found)
		}
		log, err := duties.Read(s.Log)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := desk.Given{League: l, Games: games, Rules: rules, People: list, To: today + daysAhead}.Plan()
		if err != nil {
			t.Fatal(err)
		}
		now := duties.Moment{Day: today, Clock: noon}
		d := desk.Open(l, plan, kept, log, now)
		if faults := rota.Check(plan.Problem, d.Who); len(faults) > 0 {
			t.Errorf("%v: %v", today, faults)
		}
		var all desk.Balance
		for _, b := range d.Balances() {
			all.Done, all.Promised, all.Open, all.Missed = all.Done+b.Done, all.Promised+b.Promised, all.Open+b.Open, all.Missed+b.Missed
		}
		waiting := 0
		for _, n := range d.Newcomers(desk.Had(d.Duties, log, now)) {
			if n.Slot < 0 {
				waiting++
			}
		}
		if all.Done < 10 || all.Promised < 5 || all.Open == 0 || all.Missed == 0 || waiting == 0 {
			t.Errorf("%v: %+v, %d wait", today, all.Count, waiting)
		}
	}
}

// The invented league is the one of the tests.
func TestDeskIsTheLeagueOfTheTests(t *testing.T) {
	for _, name := range []string{"harbour.toml", "harbour-crew.toml"} {
		here, err := files.ReadFile("files/" + name)
		there, wrong := os.ReadFile("../../../testdata/league/" + name)
		if err != nil || wrong != nil || !bytes.Equal(here, there) {
			t.Errorf("%s is not that of testdata/league (%v, %v)", name, err, wrong)
		}
	}
}
