package desk_test

import (
	"testing"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/season/schedule"
)

// What a change of the schedule does to duties: nothing, a question again, a reason, two
// duties at once, nobody needed. What stood against a duty before is not said again.
func TestWhatAMoveDoesToDuties(t *testing.T) {
	held := []seating.Duty{
		{Game: "u14-001", Seat: "clock", Name: "Maren Holt", Family: "Holt", Accepted: true},
		{Game: "u14-001", Seat: "book", Name: "Ida Vik", Family: "Vik"},
		{Game: "u14-003", Seat: "book", Name: "Ida Vik", Family: "Vik"},
	}
	given := func() desk.Given {
		g := given()
		g.People[0].Away = []people.Span{{From: 20733, To: 20733}}
		g.Games = append(g.Games, schedule.Game{
			ID: "u14-003", Home: "millrace", Visitors: "lanternside", State: schedule.Scheduled,
			Place: &schedule.Place{Rink: "saltworks", Sheet: 1, Day: 20731, Start: 600, Minutes: 75},
		})
		for i := range g.People {
			g.People[i].DayMost = 2
		}
		return g
	}
	g := given()
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	d := desk.Open(g.League, plan, held, duties.Log{Key: make([]byte, duties.KeyBytes)}, now)
	d.Sent(d.Due())
	d.Take(d.Log.Code(d.Duties[0], duties.SayYes))
	moved := func(change func(*schedule.Game)) []desk.Moved {
		t.Helper()
		g := given()
		change(&g.Games[0])
		then, err := g.Plan()
		if err != nil {
			t.Fatal(err)
		}
		return d.Moved(then)
	}
	type effect struct {
		seat, game string
		what       desk.Effect
		yes        bool
		why        string
		with       string
	}
	for name, test := range map[string]struct {
		change func(*schedule.Game)
		want   []effect
	}{
		"nothing":       {func(*schedule.Game) {}, nil},
		"another sheet": {func(g *schedule.Game) { g.Place.Sheet = 2 }, nil},
		"another time": {func(g *schedule.Game) { g.Place.Start = 900 }, []effect{
			{"clock", "u14-001", desk.AskAgain, true, "", ""}, {"book", "u14-001", desk.AskAgain, false, "", ""},
		}},
		"a day off": {func(g *schedule.Game) { g.Place.Day = 20733 }, []effect{
			{"clock", "u14-001", desk.Cannot, true, "away", ""}, {"book", "u14-001", desk.AskAgain, false, "", ""},
		}},
		"onto another duty": {func(g *schedule.Game) { g.Place.Day = 20731 }, []effect{
			{"clock", "u14-001", desk.AskAgain, true, "", ""}, {"book", "u14-001", desk.Cannot, false, "clash", "u14-003"},
		}},
		"postponed": {func(g *schedule.Game) { g.State, g.Place = schedule.Postponed, nil }, []effect{
			{"clock", "u14-001", desk.NotNeeded, true, "", ""}, {"book", "u14-001", desk.NotNeeded, false, "", ""},
		}},
	} {
		var got []effect
		for _, m := range moved(test.change) {
			got = append(got, effect{m.Duty.Seat, m.Duty.Game, m.Effect, m.Yes, string(m.Reason) + m.Rule, m.With})
		}
		if len(got) != len(test.want) {
			t.Errorf("%s: %v, want %v", name, got, test.want)
			continue
		}
		for i := range got {
			if got[i] != test.want[i] {
				t.Errorf("%s: %v, want %v", name, got[i], test.want[i])
			}
		}
	}

	// Whoever is away already stays away: nothing new stands against the duty.
	g = given()
	g.People[0].Away = []people.Span{{From: 20730, To: 20733}}
	if plan, err = g.Plan(); err != nil {
		t.Fatal(err)
	}
	d = desk.Open(g.League, plan, held, d.Log, now)
	g.Games[0].Place.Start = 900
	then, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	if list := d.Moved(then); len(list) != 2 || list[0].Effect != desk.AskAgain {
		t.Errorf("%+v", list)
	}
	if d.Who[0] == rota.Nobody {
		t.Error("the desk lost somebody")
	}
}

// Whoever has too many duties of a day with one that moves cannot have that one.
func TestAMoveIsOneDutyTooMany(t *testing.T) {
	held := []seating.Duty{{Game: "u14-001", Seat: "book", Name: "Ida Vik", Family: "Vik"}, {Game: "u14-003", Seat: "book", Name: "Ida Vik", Family: "Vik"}}
	g := given()
	g.Games = append(g.Games, schedule.Game{
		ID: "u14-003", Home: "millrace", Visitors: "lanternside", State: schedule.Scheduled,
		Place: &schedule.Place{Rink: "saltworks", Sheet: 1, Day: 20731, Start: 900, Minutes: 75},
	})
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	d := desk.Open(g.League, plan, held, duties.Log{Key: make([]byte, duties.KeyBytes)}, now)
	place := *g.Games[0].Place
	place.Day = 20731
	g.Games[0].Place = &place
	then, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	list := d.Moved(then)
	if len(list) != 1 || list[0].Duty.Game != "u14-001" || list[0].Effect != desk.Cannot || list[0].Rule != "day_cap" {
		t.Errorf("%+v", list)
	}
}

// A child's game that moves onto its parent's duty elsewhere is said at that duty.
func TestAMoveTakesAParentAway(t *testing.T) {
	games := func(start int) []schedule.Game {
		return []schedule.Game{
			{ID: "u14-001", Home: "kelp-bay", Visitors: "northmole", State: schedule.Scheduled, Place: &schedule.Place{Rink: "saltworks", Sheet: 1, Day: 20730, Start: 600, Minutes: 75}},
			{ID: "u14-002", Home: "millrace", Visitors: "lanternside", State: schedule.Scheduled, Place: &schedule.Place{Rink: "saltworks", Sheet: 2, Day: 20730, Start: dates.Clock(start), Minutes: 75}},
		}
	}
	g := given()
	g.People[0].Teams = []string{"millrace"}
	g.Games = games(900)
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	d := desk.Open(g.League, plan, known[:1], duties.Log{Key: make([]byte, duties.KeyBytes)}, now)
	g.Games = games(600)
	then, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	list := d.Moved(then)
	if len(list) != 1 || list[0].Effect != desk.Cannot || list[0].Reason != seating.ChildPlays || list[0].Duty.Game != "u14-001" {
		t.Errorf("%+v", list)
	}
}
