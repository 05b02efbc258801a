package desk

import (
	"math"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// Always is a last day that leaves no game out.
const Always dates.Day = math.MaxInt32

// Given is what a rota is made of.
type Given struct {
	League   league.League
	Games    []schedule.Game
	Rules    seating.Rules
	People   []people.Person
	From, To dates.Day // of the games, both included
}

// Plan holds everybody against every seat of the games that will be played. It fails
// where there are none, and on more than a plan may have.
func (g Given) Plan() (*seating.Plan, error) {
	plan, err := g.Any()
	if err == nil && len(plan.Slots) == 0 {
		return nil, message.New("command.crew.no_seats")
	}
	return plan, err
}

// Any is the same, also where no game will be played.
func (g Given) Any() (*seating.Plan, error) {
	return seating.Build(g.Rules, g.People, g.games())
}

// games are those that will be played, as the crew sees them.
func (g Given) games() []seating.Game {
	var list []seating.Game
	for _, one := range g.Games {
		at := one.Place
		if at == nil || one.State != schedule.Scheduled || at.Day < g.From || at.Day > g.To {
			continue
		}
		rink, _ := g.League.Rink(at.Rink)
		drive := rink.Drive
		if drive == nil {
			drive = map[string]int{}
		}
		list = append(list, seating.Game{
			ID: one.ID, Division: one.Division, Teams: []string{one.Home, one.Visitors}, Rink: at.Rink,
			Day: at.Day, Start: at.Start, Minutes: at.Minutes, Drive: drive,
		})
	}
	return list
}

// LeaveOut leaves whoever said no to a duty out of it, and whoever does not stay out of
// all of them.
func LeaveOut(plan *seating.Plan, log duties.Log) {
	said := log.Work()
	plan.Without(func(game, seat, name, family string) bool {
		who := duties.Who{Name: name, Family: family}
		return said.Of(game, seat, who).Status == duties.No || said.Staying(who) == duties.No
	})
}

// Few is a seat that few people can take.
type Few struct {
	Slot int // of the plan
	Can  int // people
}

// Missing are the seats that fewer people can take than asked for, in the order of
// the games.
func Missing(plan *seating.Plan, fewer int) []Few {
	var list []Few
	for i := range plan.Slots {
		if can := len(plan.Problem.Slots[i].Candidates); can < fewer {
			list = append(list, Few{i, can})
		}
	}
	return list
}

// changing is what it costs to change a duty that people know, in points: ours, of
// the weight that a change within two weeks has.
const changing = 50

// MovesMost bounds what may be asked for.
const MovesMost = 100_000_000

// Broken is an accepted duty that cannot stay: somebody has to ask its person.
type Broken struct {
	Slot, Person int
	Reason       seating.Reason // empty: a learner for whom nobody is a guide any more
}

// Made is a rota that was made.
type Made struct {
	Who      []int        // one for each slot of the plan; rota.Nobody: empty
	Accepted map[int]bool // slots
	Broken   []Broken
	Empty    []int // slots
	Changed  int   // duties that people knew and that are others' now
	Cost     int
	Bound    int // no rota of these people costs less
}

// Make makes a rota. Of one that people know already (kept, or nil) the accepted
// duties stay where a rule does not forbid it, and the others where they can.
func Make(plan *seating.Plan, kept []seating.Duty, o rota.Options) (Made, error) {
	if o.Moves < 0 || o.Moves > MovesMost {
		return Made{}, message.New("command.schedule.moves", "most", MovesMost)
	}
	problem, made := plan.Problem, Made{Accepted: map[int]bool{}}
	var before []int
	if kept != nil {
		before, made.Accepted = plan.Stand(kept)
		var broken []int
		problem, broken = plan.KeepDuties(before, made.Accepted, changing)
		for _, i := range broken {
			delete(made.Accepted, i)
			made.Broken = append(made.Broken, Broken{i, before[i], plan.Why(i, before[i])})
		}
	}
	r, err := rota.Make(problem, o)
	if err != nil {
		return made, err
	}
	made.Who, made.Cost, made.Bound = r.Who, r.Cost, r.Bound
	for i, v := range r.Who {
		if before != nil && before[i] != v {
			if made.Accepted[i] {
				delete(made.Accepted, i)
				made.Broken = append(made.Broken, Broken{Slot: i, Person: before[i]})
			}
			if before[i] != rota.Nobody {
				made.Changed++
			}
		}
		if v == rota.Nobody {
			made.Empty = append(made.Empty, i)
		}
	}
	return made, nil
}
