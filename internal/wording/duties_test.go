package wording_test

import (
	"slices"
	"testing"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/internal/locale"
	"whistlestop/internal/wording"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// atDesk is one game with a clock for one person, who has it.
func atDesk(t *testing.T, rules seating.Rules) *desk.Desk {
	t.Helper()
	rules.Seats = []seating.Seat{{ID: "clock", Kind: "clock", Need: "must", Before: 15, OwnGame: true}}
	g := desk.Given{
		League: league.League{Name: "Harbour League", Rinks: []league.Rink{{ID: "saltworks", Name: "Saltworks Arena", Sheets: 1}}}, To: desk.Always, Rules: rules,
		Games:  []schedule.Game{{ID: "u14-001", Home: "kelp-bay", Visitors: "northmole", State: schedule.Scheduled, Place: &schedule.Place{Rink: "saltworks", Sheet: 1, Day: 20730, Start: 600, Minutes: 75}}},
		People: []people.Person{{Name: "Åse Holt", Family: "Holt", Levels: map[string]people.Level{"clock": people.Ready}}},
	}
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	kept := []seating.Duty{{Game: "u14-001", Seat: "clock", Name: "Åse Holt", Family: "Holt"}}
	return desk.Open(g.League, plan, kept, duties.Log{Key: make([]byte, duties.KeyBytes)}, duties.Moment{Day: 20720, Clock: 720})
}

// The table of what families did says in which unit, and has the pots beside.
func TestBalancesSayTheirUnit(t *testing.T) {
	d := atDesk(t, seating.Rules{Target: seating.Target{Unit: seating.InMinutes}, Pots: []seating.Pot{{Name: "Autumn", Amount: 120}}})
	want := [][]string{
		{"Family", "Share (minutes)", "Came", "Did not come", "Over, not said", "Promised", "No answer yet", "Autumn: Share", "Autumn: Came", "Autumn: Promised", "Autumn: Missing"},
		{"Holt", "90", "0", "0", "0", "0", "90", "120", "0", "0", "120"},
	}
	got := wording.OfDesk(locale.English(), d).Balances()
	if len(got) != 2 || !slices.Equal(got[0], want[0]) || !slices.Equal(got[1], want[1]) {
		t.Errorf("%v", got)
	}
}

// A mail program gets the whole letter, whatever letters are in it (RFC 6068, 5).
func TestALetterOpensInAMailProgram(t *testing.T) {
	d := atDesk(t, seating.Rules{})
	letter := wording.OfDesk(locale.English(), d).Letter(d.Due()[0])
	const begin = "mailto:?subject=The%20bench%2C%20Sunday%202026-10-04&body=Hello%20%C3%85se%2C%0D%0A%0D%0A"
	if letter.Name != "Åse Holt" || len(letter.Link) < len(begin) || letter.Link[:len(begin)] != begin {
		t.Errorf("%+v", letter)
	}
}

// Each day has its name (4 October 2026 is a Sunday).
func TestDaysHaveNames(t *testing.T) {
	for i, want := range []string{"Sunday 2026-10-04", "Monday 2026-10-05", "Tuesday 2026-10-06", "Wednesday 2026-10-07", "Thursday 2026-10-08", "Friday 2026-10-09", "Saturday 2026-10-10"} {
		if got := wording.Day(locale.English(), dates.Day(20730+i)); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
