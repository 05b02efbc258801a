package rota

import "whistlestop/game/message"

// Nobody is on an empty slot.
const Nobody = -1

// Role is how somebody may hold a seat.
type Role int8

// The roles, from who still learns the seat to who may lead a learner.
const (
	Learner Role = iota
	Ready
	Guide
)

// Problem is a season's, month's or week's seats and who may take them. Whole
// numbers only: costs are exact.
type Problem struct {
	Games    []Game
	Slots    []Slot
	People   []Person
	Families []Family
	Travel   [][]int // minutes between rinks, by index
	Buffer   int     // minutes more where the rinks differ

	Fair      int // a family's cost: times the square of its duties less its target
	WeekExtra int // each duty of a person in a week after the first
	First     int // somebody new without a duty in their first weeks

	beside *beside // what people have beside these slots, in a part of a larger problem
}

// beside are duties that are not of a problem and count with it.
type beside struct {
	week, day map[[2]int]int // by person and week, or day
}

// inWeek is how many duties a person has in a week beside those of the problem.
func (p Problem) inWeek(person, week int) int {
	if p.beside == nil {
		return 0
	}
	return p.beside.week[[2]int{person, week}]
}

// waits says whether somebody is new and has no first duty beside those of the problem.
func (p Problem) waits(person int) bool {
	for week := range p.People[person].New {
		if p.inWeek(person, week) > 0 {
			return false
		}
	}
	return p.People[person].New > 0
}

// onDay is the same of a day.
func (p Problem) onDay(person, day int) int {
	if p.beside == nil {
		return 0
	}
	return p.beside.day[[2]int{person, day}]
}

// Game is when and where.
type Game struct {
	Day, Week  int // counted from the first Monday
	Rink       int
	Start, End int // minutes after midnight
}

// Slot is one seat at one game.
type Slot struct {
	Game       int
	Empty      int // what it costs to leave it empty
	Candidates []Candidate
	Fixed      bool // its one candidate has accepted, or it is locked: it does not move
}

// Candidate is somebody who may take a slot, and what that costs beside fairness.
type Candidate struct {
	Person int
	Cost   int
	Role   Role
}

// Person is somebody who helps.
type Person struct {
	Family            int
	DayCap, SeasonCap int
	New               int   // somebody new: a first duty is wanted in a week before this one; otherwise nought
	Busy              []int // games of their family's own teams, which no duty elsewhere may clash with
}

// Family is whose duties are counted together.
type Family struct {
	Target     int
	OneAtATime bool // duties of different members do not clash: one adult stays free
}

// Validate says what is wrong with a problem, if anything.
func (p Problem) Validate() error {
	for i, game := range p.Games {
		if game.Rink < 0 || game.Rink >= len(p.Travel) || game.End < game.Start || game.Day < 0 || game.Week < 0 {
			return message.New("rota.game", "game", i, "rink", game.Rink, "day", game.Day, "start", game.Start, "end", game.End)
		}
	}
	for i, row := range p.Travel {
		if len(row) != len(p.Travel) {
			return message.New("rota.rink", "rink", i, "count", len(row), "rinks", len(p.Travel))
		}
	}
	for i, person := range p.People {
		if person.Family < 0 || person.Family >= len(p.Families) || min(person.DayCap, person.SeasonCap, person.New) < 0 {
			return message.New("rota.person", "person", i, "family", person.Family, "day", person.DayCap, "season", person.SeasonCap)
		}
	}
	for i, slot := range p.Slots {
		if slot.Game < 0 || slot.Game >= len(p.Games) || slot.Empty < 0 {
			return message.New("rota.slot", "slot", i, "game", slot.Game, "empty", slot.Empty)
		}
		if slot.Fixed && len(slot.Candidates) != 1 {
			return message.New("rota.fixed", "slot", i, "count", len(slot.Candidates))
		}
		seen := map[int]bool{}
		for _, c := range slot.Candidates {
			if c.Person < 0 || c.Person >= len(p.People) || seen[c.Person] || c.Role < Learner || c.Role > Guide {
				return message.New("rota.candidate", "slot", i, "person", c.Person, "role", c.Role)
			}
			seen[c.Person] = true
		}
	}
	if min(p.Fair, p.WeekExtra, p.First) < 0 {
		return message.New("rota.costs", "fair", p.Fair, "week", p.WeekExtra, "first", p.First)
	}
	return nil
}

// Clash says whether nobody can be at both games: they are one game, or on one
// day too close for the way between them.
func (p Problem) Clash(a, b int) bool {
	if a == b {
		return true
	}
	x, y := p.Games[a], p.Games[b]
	if x.Day != y.Day {
		return false
	}
	gap := 0
	if x.Rink != y.Rink {
		gap = p.Travel[x.Rink][y.Rink] + p.Buffer
	}
	return x.End+gap > y.Start && y.End+gap > x.Start
}

// Cost is what a rota costs; it says nothing of the hard rules.
func (p Problem) Cost(who []int) int {
	total := 0
	family := make([]int, len(p.Families))
	week := map[[2]int]int{}
	early := make([]bool, len(p.People))
	for s, person := range who {
		slot := p.Slots[s]
		if person == Nobody {
			total += slot.Empty
			continue
		}
		for _, c := range slot.Candidates {
			if c.Person == person {
				total += c.Cost
			}
		}
		family[p.People[person].Family]++
		week[[2]int{person, p.Games[slot.Game].Week}]++
		early[person] = early[person] || p.Games[slot.Game].Week < p.People[person].New
	}
	for i, had := range early {
		if p.waits(i) && !had {
			total += p.First
		}
	}
	for f, duties := range family {
		off := duties - p.Families[f].Target
		total += p.Fair * off * off
	}
	for key, duties := range week {
		total += p.WeekExtra * (duties - min(1, max(0, 1-p.inWeek(key[0], key[1]))))
	}
	return total
}
