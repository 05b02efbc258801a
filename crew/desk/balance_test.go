package desk_test

import (
	"slices"
	"testing"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/season/schedule"
)

func day(t *testing.T, text string) *dates.Day {
	t.Helper()
	d, err := dates.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return &d
}

// aSeason is a desk of four games, one a month from October on, for two families of
// which one has two teams. The clock is worth three credits.
func aSeason(t *testing.T, target seating.Target, pots ...seating.Pot) *desk.Desk {
	t.Helper()
	g := given()
	g.Rules.Target, g.Rules.Pots, g.Games = target, pots, nil
	g.Rules.Seats[0].Credits = 3
	g.People[1].Teams = []string{"northmole", "northmole-u12"}
	for i, at := range []string{"2026-10-03", "2026-11-07", "2026-12-05", "2027-01-09"} {
		g.Games = append(g.Games, schedule.Game{
			ID: string(rune('a' + i)), Home: "kelp-bay", Visitors: []string{"northmole", "millrace"}[i%2], State: schedule.Scheduled,
			Place: &schedule.Place{Rink: "saltworks", Sheet: 1, Day: *day(t, at), Start: 600, Minutes: 75},
		})
	}
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	var kept []seating.Duty
	for _, one := range g.Games {
		kept = append(kept,
			seating.Duty{Game: one.ID, Seat: "clock", Name: "Maren Holt", Family: "Holt"},
			seating.Duty{Game: one.ID, Seat: "book", Name: "Ida Vik", Family: "Vik"})
	}
	return desk.Open(g.League, plan, kept, duties.Log{Key: make([]byte, duties.KeyBytes)}, duties.Moment{Day: *day(t, "2026-12-20"), Clock: 720})
}

// What a family is to do, in each unit and by each way of sharing.
func TestShares(t *testing.T) {
	for name, test := range map[string]struct {
		target seating.Target
		want   []int // Holt, Vik
	}{
		"duties, equal":             {seating.Target{}, []int{4, 4}},
		"half more for a child":     {seating.Target{Further: 50}, []int{3, 5}},
		"by child":                  {seating.Target{Per: seating.PerChild}, []int{3, 5}},
		"minutes":                   {seating.Target{Unit: seating.InMinutes}, []int{330, 330}}, // 4 of 90 and 4 of 75
		"credits":                   {seating.Target{Unit: seating.InCredits}, []int{8, 8}},
		"so many each":              {seating.Target{Amount: 3}, []int{3, 3}},
		"so many a child":           {seating.Target{Amount: 3, Per: seating.PerChild}, []int{3, 6}},
		"so many a child, capped":   {seating.Target{Amount: 3, Per: seating.PerChild, Most: 5}, []int{3, 5}},
		"one counts as done":        {seating.Target{Done: []string{"Vik"}}, []int{8, 0}},
		"equal and capped":          {seating.Target{Per: seating.PerChild, Most: 4}, []int{4, 4}},
		"the rest is nobody's":      {seating.Target{Most: 3}, []int{3, 3}},
		"credits, each, half more":  {seating.Target{Unit: seating.InCredits, Amount: 6, Further: 50}, []int{6, 9}},
		"the board, so many a head": {seating.Target{Amount: 3, Done: []string{"Holt"}}, []int{0, 3}},
	} {
		d := aSeason(t, test.target)
		if !slices.Equal(d.Plan.Shares, test.want) {
			t.Errorf("%s: %v, want %v", name, d.Plan.Shares, test.want)
		}
	}
	// What the rota aims at is counted in duties: six of sixteen credits are three of
	// eight duties.
	if d := aSeason(t, seating.Target{Unit: seating.InCredits, Amount: 6}); d.Plan.Problem.Families[0].Target != 3 {
		t.Errorf("%+v", d.Plan.Problem.Families)
	}
}

// What was done is counted in the unit, as the league says what counts.
func TestBalancesInUnits(t *testing.T) {
	balance := func(target seating.Target, marks ...duties.Kind) []desk.Balance {
		t.Helper()
		d := aSeason(t, target)
		for i, kind := range marks {
			for _, seat := range []string{"clock", "book"} {
				if _, err := d.Mark(string(rune('a'+i)), seat, kind); err != nil {
					t.Fatal(err)
				}
			}
		}
		return d.Balances()
	}
	came := []duties.Kind{duties.Came, duties.Came, duties.Missed}
	b := balance(seating.Target{Unit: seating.InCredits}, came...)
	if b[0].Done != 6 || b[0].Missed != 3 || b[0].Open != 3 || b[1].Done != 2 || b[1].Missed != 1 {
		t.Errorf("%+v", b)
	}
	if b := balance(seating.Target{Unit: seating.InMinutes}, came...); b[0].Done != 180 || b[1].Done != 150 {
		t.Errorf("%+v", b)
	}
	// Northmole plays in the first game and the third: there Vik's own child does.
	if b := balance(seating.Target{OthersOnly: true}, came...); b[1].Done != 1 || b[1].Missed != 0 {
		t.Errorf("%+v", b)
	}
	if b := balance(seating.Target{}); b[0].Done != 0 || b[0].Unmarked != 3 {
		t.Errorf("%+v", b)
	}
	if b := balance(seating.Target{Unsaid: true}); b[0].Done != 3 || b[0].Unmarked != 0 {
		t.Errorf("%+v", b)
	}
}

// A no within the hours that the league says counts as not having come; one before
// them, and one that was taken back by a yes, do not.
func TestLeavingLate(t *testing.T) {
	for _, test := range []struct {
		at     string
		clock  dates.Clock
		again  bool
		missed int
	}{{"2027-01-07", 584, false, 0}, {"2027-01-07", 586, false, 3}, {"2027-01-08", 600, false, 3}, {"2027-01-08", 600, true, 0}} {
		d := aSeason(t, seating.Target{Unit: seating.InCredits, Late: 48})
		d.Sent(d.Due())
		one := d.Duties[6] // the clock of January, 9:45
		d.Now = duties.Moment{Day: *day(t, test.at), Clock: test.clock}
		d.Take(d.Log.Code(one, duties.SayNo))
		if test.again {
			d.Take(d.Log.Code(one, duties.SayYes))
		}
		if b := d.Balances(); b[0].LeftLate != test.missed || b[0].Missed != test.missed {
			t.Errorf("%+v: %+v", test, b[0])
		}
	}
}

// Duties fill pots by day: what the first has enough of goes into the next.
func TestPots(t *testing.T) {
	d := aSeason(t, seating.Target{Unsaid: true},
		seating.Pot{Name: "Before the new year", Amount: 2, By: day(t, "2026-12-15")},
		seating.Pot{Name: "Before April", Amount: 2, By: day(t, "2027-03-31")},
		seating.Pot{Name: "Penalty box", Seats: []string{"box"}, Amount: 1, By: day(t, "2026-12-15")})
	d.Sent(d.Due())
	d.Take(d.Log.Code(d.Duties[6], duties.SayYes))
	want := []desk.Pot{{Amount: 2, Done: 2, Over: true}, {Amount: 2, Done: 1, Promised: 1}, {Amount: 1, Over: true}}
	if b := d.Balances()[0]; !slices.Equal(b.Pots, want) || b.Pots[2].Missing() != 1 || b.Pots[0].Missing() != 0 {
		t.Errorf("%+v", b.Pots)
	}
	// Whoever counts as done has nothing to do.
	d = aSeason(t, seating.Target{Done: []string{"Holt"}}, seating.Pot{Name: "All", Amount: 2})
	if b := d.Balances()[0]; !b.IsDone || b.Share != 0 || b.Pots[0].Amount != 0 {
		t.Errorf("%+v", b)
	}
}
