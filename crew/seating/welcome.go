package seating

import (
	"slices"

	"whistlestop/crew/rota"
	"whistlestop/game/dates"
)

// Welcome makes the rota give somebody new a first duty from today until a day. Until
// then they sit only beside a guide, wherever a game can have one: whoever is ready by
// practice alone counts as a learner of it.
func (p *Plan) Welcome(person int, today, by dates.Day) {
	if len(p.Games) == 0 {
		return
	}
	first := p.Games[0].Day.Week()
	// Weeks count that end by the day or, where none does, the week of the day.
	end := (by + 1).Week()
	if end <= max(today.Week(), first) {
		end = by.Week() + 1
	}
	p.Problem.People[person].New = max(0, end-first)
	for s := range p.Slots {
		game := p.Slots[s].Game
		if p.Games[game].Day < today { // a first duty is none of those that are over
			p.Problem.Slots[s].Candidates = slices.DeleteFunc(p.Problem.Slots[s].Candidates, func(c rota.Candidate) bool { return c.Person == person })
			continue
		}
		if p.Games[game].Day > by {
			continue
		}
		guided := p.guides(game, s, person)
		for i := range p.Problem.Slots[s].Candidates {
			switch c := &p.Problem.Slots[s].Candidates[i]; {
			case c.Person != person:
			case !guided: // better than an empty seat, and no first duty as it should be
				c.Cost += p.Problem.First
			case c.Role == rota.Ready:
				c.Role = rota.Learner
			}
		}
	}
}

// guides says whether somebody else could guide at another seat of a game.
func (p *Plan) guides(game, but, person int) bool {
	first := but // the slots of a game stand together
	for first > 0 && p.Slots[first-1].Game == game {
		first--
	}
	for s := first; s < len(p.Slots) && p.Slots[s].Game == game; s++ {
		if s == but {
			continue
		}
		for _, c := range p.Problem.Slots[s].Candidates {
			if c.Role == rota.Guide && c.Person != person {
				return true
			}
		}
	}
	return false
}
