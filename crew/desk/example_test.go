package desk_test

import (
	"fmt"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// given is one game with a clock and a book for three people of two families.
func given() desk.Given {
	l := league.League{Rinks: []league.Rink{{ID: "saltworks", Name: "Saltworks Arena", Sheets: 1}}}
	ready := map[string]people.Level{"clock": people.Ready, "book": people.Ready}
	return desk.Given{
		League: l, To: desk.Always,
		Games: []schedule.Game{
			{ID: "u14-001", Home: "kelp-bay", Visitors: "northmole", State: schedule.Scheduled, Place: &schedule.Place{Rink: "saltworks", Sheet: 1, Day: 20730, Start: 600, Minutes: 75}},
			{ID: "u14-002", Home: "northmole", Visitors: "kelp-bay", State: schedule.Postponed},
		},
		Rules: seating.Rules{
			Seats: []seating.Seat{{ID: "clock", Kind: "clock", Need: "must", Before: 15, OwnGame: true}, {ID: "book", Kind: "book", Need: "may", OwnGame: true}},
			Costs: seating.Costs{MustEmpty: 1000, MayEmpty: 200, Fair: 5},
		},
		People: []people.Person{
			{Name: "Maren Holt", Family: "Holt", Levels: ready}, {Name: "Ida Vik", Family: "Vik", Levels: ready},
			{Name: "Jon Holt", Family: "Holt", Levels: map[string]people.Level{"book": people.Ready}},
		},
	}
}

func Example() {
	g := given()
	plan, err := g.Plan()
	if err != nil {
		fmt.Println(err)
		return
	}
	made, err := desk.Make(plan, nil, rota.Options{Seed: 1, Moves: 1000})
	if err != nil {
		fmt.Println(err)
		return
	}
	d := desk.Open(g.League, plan, plan.Duties(made.Who, made.Accepted), duties.Log{Key: []byte("sixteen letters.")}, duties.Moment{Day: 20720, Clock: 720})
	for _, m := range d.Due() {
		fmt.Println(m.Name, m.Lines[0].About, m.Lines[0].Seat, m.Lines[0].There, d.Others(m.Lines[0].Duty))
	}
	// Output:
	// Ida Vik ask clock 09:45 [Jon H]
	// Jon Holt ask book 10:00 [Ida V]
}
