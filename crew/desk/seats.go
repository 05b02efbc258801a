package desk

import (
	"slices"

	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/message"
	"whistlestop/season/league"
)

// Rota is who sits where in a plan.
type Rota struct {
	League   league.League
	Plan     *seating.Plan
	Who      []int        // one for each slot; rota.Nobody: empty
	Accepted map[int]bool // slots
}

// Hold finds the people and seats of a rota in a plan.
func Hold(l league.League, plan *seating.Plan, kept []seating.Duty) Rota {
	r := Rota{League: l, Plan: plan}
	r.Who, r.Accepted = plan.Stand(kept)
	return r
}

// Slot is the place of a game's seat in the plan.
func (r Rota) Slot(game, seat string) (int, error) {
	for i, s := range r.Plan.Slots {
		if r.Plan.Games[s.Game].ID == game && s.Seat.ID == seat {
			return i, nil
		}
	}
	return 0, message.New("command.crew.no_seat", "game", game, "seat", seat)
}

// Person is the place of somebody in the plan by their name.
func (r Rota) Person(name string) (int, error) {
	at := slices.IndexFunc(r.Plan.People, func(one people.Person) bool { return one.Name == name })
	if at < 0 {
		return 0, message.New("command.crew.unknown", "name", name)
	}
	return at, nil
}

// Share is what a family has, and what its share is, in duties.
type Share struct {
	Family        string
	Share, Duties int
}

// Shares are those of all families, in the order of the plan.
func (r Rota) Shares() []Share {
	list := make([]Share, len(r.Plan.Families))
	for f, name := range r.Plan.Families {
		list[f] = r.share(f, name)
	}
	return list
}

func (r Rota) share(family int, name string) Share {
	s := Share{Family: name, Share: r.Plan.Problem.Families[family].Target}
	for _, v := range r.Who {
		if v != rota.Nobody && r.Plan.Problem.People[v].Family == family {
			s.Duties++
		}
	}
	return s
}

// shareOf is that of a person's family.
func (r Rota) shareOf(person int) Share {
	f := r.Plan.Problem.People[person].Family
	return r.share(f, r.Plan.Families[f])
}

// Verdict is how somebody stands to a seat.
type Verdict string

// How somebody can stand to a seat.
const (
	Sits    Verdict = "sits"
	Empty   Verdict = "empty"   // nobody sits there; nobody in particular was asked about
	Barred  Verdict = "barred"  // a reason keeps them from it, whatever else they do
	Against Verdict = "against" // a rule does, because of what they and others do already
	Could   Verdict = "could"
)

// Why is how somebody stands to a seat.
type Why struct {
	Verdict Verdict
	Name    string
	Reason  seating.Reason // Barred
	Rule    string         // Against: of rota.Fault
	Share   Share          // Could
}

// Why says why somebody does or does not sit somewhere; without a name, who does.
func (r Rota) Why(slot int, name string) (Why, error) {
	if name == "" {
		if v := r.Who[slot]; v != rota.Nobody {
			return Why{Verdict: Sits, Name: r.Plan.People[v].Name}, nil
		}
		return Why{Verdict: Empty}, nil
	}
	asked, err := r.Person(name)
	if err != nil {
		return Why{}, err
	}
	why := Why{Name: name, Verdict: Could}
	if reason := r.Plan.Why(slot, asked); reason != "" {
		why.Verdict, why.Reason = Barred, reason
	} else if r.Who[slot] == asked {
		why.Verdict = Sits
	} else if faults := rota.Against(r.Plan.Problem, r.Who, slot, asked); len(faults) > 0 {
		why.Verdict, why.Rule = Against, faults[0].Rule
	} else {
		why.Share = r.shareOf(asked)
	}
	return why, nil
}

// Choice is somebody who could take a seat.
type Choice struct {
	Person int // of the plan
	Share  Share
}

// Next are the people who could take a seat now, the best first, at most so many.
func (r Rota) Next(slot, most int) []Choice {
	found := rota.Next(r.Plan.Problem, r.Who, slot)
	var list []Choice
	for _, one := range found[:min(len(found), max(1, most))] {
		list = append(list, Choice{one.Person, r.shareOf(one.Person)})
	}
	return list
}
