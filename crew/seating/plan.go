package seating

import (
	"cmp"
	"slices"

	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/game/dates"
	"whistlestop/game/message"
)

// Game is a game that needs a crew.
type Game struct {
	ID       string
	Division string
	Teams    []string // by their ids; a family whose child plays in one of them is there anyway
	Rink     string
	Day      dates.Day
	Start    dates.Clock
	Minutes  int
	Drive    map[string]int // minutes to other rinks
}

// Reason is why somebody may not take a seat.
type Reason string

// The reasons, in the order in which they are looked at.
const (
	NotReady    Reason = "not_ready" // does not know the seat
	TooYoung    Reason = "too_young"
	NotScreened Reason = "not_screened"
	OwnGame     Reason = "own_game"  // a team of the family plays, and the seat is not for its parents
	WrongDay    Reason = "wrong_day" // of the week
	Away        Reason = "away"
	TooEarly    Reason = "too_early"
	ChildPlays  Reason = "child_plays" // elsewhere at that time
	SaidNo      Reason = "said_no"     // was asked
)

// Reasons are all of them.
var Reasons = []Reason{NotReady, TooYoung, NotScreened, OwnGame, WrongDay, Away, TooEarly, ChildPlays, SaidNo}

// Slot is one seat of one game.
type Slot struct {
	Game int // its place in Plan.Games
	Seat Seat
}

// Plan is the rota's problem with the people, games and seats that its numbers mean.
type Plan struct {
	Rules    Rules
	People   []people.Person
	Families []string
	Games    []Game
	Slots    []Slot
	Problem  rota.Problem
	Shares   []int // of each family, in the rules' unit

	teams [][]string      // of each family
	no    map[[2]int]bool // slot and person: said no
}

// What one plan may have at most.
const (
	peopleMost = 5000
	gamesMost  = 5000
	pairsMost  = 4_000_000
)

// adultAge is what somebody without an age counts as.
const adultAge = 18

// Build holds everybody against every seat. It fails on more than a plan may have.
func Build(rules Rules, list []people.Person, games []Game) (*Plan, error) {
	if len(list) > peopleMost || len(games) > gamesMost {
		return nil, message.New("seat_file.people", "people", len(list), "games", len(games), "most_people", peopleMost, "most_games", gamesMost)
	}
	p, teams := outline(rules, list, games)
	if len(p.Slots)*len(list) > pairsMost {
		return nil, message.New("seat_file.seats", "seats", len(p.Slots), "people", len(list))
	}
	p.places()
	p.candidates(teams)
	p.Problem.Fair, p.Problem.WeekExtra, p.Problem.First = rules.Costs.Fair, rules.Costs.SameWeek, rules.Costs.First
	return p, nil
}

// Outline is a plan that does not say who could take what: enough for shares and
// balances, and for what is said of duties. It has no rota's problem.
func Outline(rules Rules, list []people.Person, games []Game) *Plan {
	p, _ := outline(rules, list, games)
	return p
}

func outline(rules Rules, list []people.Person, games []Game) (p *Plan, teams [][]string) {
	p = &Plan{Rules: rules, People: list, Games: slices.Clone(games)}
	slices.SortStableFunc(p.Games, func(a, b Game) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Start, b.Start), cmp.Compare(a.ID, b.ID))
	})
	for g, game := range p.Games {
		for _, seat := range rules.Seats {
			if len(seat.For) == 0 || slices.Contains(seat.For, game.Division) {
				p.Slots = append(p.Slots, Slot{g, seat})
			}
		}
	}
	teams = p.families()
	p.shares(teams)
	return p, teams
}

// places gives the rota the games and the ways between their rinks.
func (p *Plan) places() {
	var rinks []string
	drive := map[string]map[string]int{}
	for _, g := range p.Games {
		if !slices.Contains(rinks, g.Rink) {
			rinks = append(rinks, g.Rink)
			drive[g.Rink] = g.Drive
		}
	}
	p.Problem.Buffer = p.Rules.BetweenRinks
	for _, from := range rinks {
		var row []int
		for _, to := range rinks {
			minutes := max(drive[from][to], drive[to][from])
			if from != to && minutes == 0 {
				minutes = p.Rules.Drive
			}
			row = append(row, minutes)
		}
		p.Problem.Travel = append(p.Problem.Travel, row)
	}
	for _, g := range p.Games {
		before := 0
		for _, s := range p.Rules.Seats {
			before = max(before, s.Before)
		}
		first := p.Games[0].Day.Week()
		p.Problem.Games = append(p.Problem.Games, rota.Game{
			Day: int(g.Day - p.Games[0].Day), Week: g.Day.Week() - first, Rink: slices.Index(rinks, g.Rink),
			Start: max(0, int(g.Start)-before), End: int(g.Start) + g.Minutes,
		})
	}
}

// families numbers the families and returns the teams of each.
func (p *Plan) families() [][]string {
	number := map[string]int{}
	var teams [][]string
	for _, person := range p.People {
		f, known := number[person.Family]
		if !known {
			f = len(p.Families)
			number[person.Family] = f
			p.Families = append(p.Families, person.Family)
			p.Problem.Families = append(p.Problem.Families, rota.Family{})
			teams = append(teams, nil)
		}
		for _, team := range person.Teams {
			if !slices.Contains(teams[f], team) {
				teams[f] = append(teams[f], team)
			}
		}
		family := &p.Problem.Families[f]
		family.OneAtATime = family.OneAtATime || person.OneFree
		most := person.Most
		if most == 0 {
			most = len(p.Slots)
		}
		p.Problem.People = append(p.Problem.People, rota.Person{Family: f, DayCap: cmp.Or(person.DayMost, 1), SeasonCap: most})
	}
	return teams
}

// candidates are everybody whom nothing keeps from a slot.
func (p *Plan) candidates(teams [][]string) {
	plays := make([][]int, len(p.Families)) // games of each family's teams
	for f := range plays {
		for g, game := range p.Games {
			if together(teams[f], game.Teams) {
				plays[f] = append(plays[f], g)
			}
		}
	}
	for _, slot := range p.Slots {
		s := rota.Slot{Game: slot.Game, Empty: p.Rules.Costs.MayEmpty}
		if slot.Seat.Need == "must" {
			s.Empty = p.Rules.Costs.MustEmpty
		}
		for i := range p.People {
			family := p.Problem.People[i].Family
			if p.static(slot, i, teams[family], plays[family]) != "" {
				continue
			}
			c := rota.Candidate{Person: i, Role: role(p.People[i].Levels[slot.Seat.Kind])}
			if slices.Contains(p.People[i].Far, p.Games[slot.Game].Rink) {
				c.Cost += p.Rules.Costs.Far
			}
			if !together(teams[family], p.Games[slot.Game].Teams) {
				c.Cost += p.Rules.Costs.OtherGame
			}
			s.Candidates = append(s.Candidates, c)
		}
		p.Problem.Slots = append(p.Problem.Slots, s)
	}
}

func role(level people.Level) rota.Role {
	switch level {
	case people.Guide:
		return rota.Guide
	case people.Ready:
		return rota.Ready
	case people.Learner, people.Not:
	}
	return rota.Learner
}

func together(a, b []string) bool {
	return slices.ContainsFunc(a, func(one string) bool { return slices.Contains(b, one) })
}

// static is the first reason, if any, that has nothing to do with other duties.
func (p *Plan) static(slot Slot, person int, teams []string, plays []int) Reason {
	who, game := p.People[person], p.Games[slot.Game]
	switch {
	case who.Levels[slot.Seat.Kind] == people.Not:
		return NotReady
	case cmp.Or(who.Age, adultAge) < slot.Seat.Age:
		return TooYoung
	case slot.Seat.Screened && (who.Screened == nil || *who.Screened < game.Day):
		return NotScreened
	case !slot.Seat.OwnGame && together(teams, game.Teams):
		return OwnGame
	case len(who.Days) > 0 && !slices.Contains(who.Days, dates.Weekday(game.Day.Weekday())):
		return WrongDay
	case slices.ContainsFunc(who.Away, func(s people.Span) bool { return s.From <= game.Day && game.Day <= s.To }):
		return Away
	case who.NotBefore != nil && int(game.Start)-slot.Seat.Before < int(*who.NotBefore):
		return TooEarly
	case slices.ContainsFunc(plays, func(g int) bool { return g != slot.Game && p.Problem.Clash(g, slot.Game) }):
		return ChildPlays
	}
	return ""
}

// Why is the reason that keeps somebody from a slot whatever else they do, or "".
func (p *Plan) Why(slot, person int) Reason {
	family := p.Problem.People[person].Family
	var teams []string
	for i, one := range p.People {
		if p.Problem.People[i].Family == family {
			teams = append(teams, one.Teams...)
		}
	}
	var plays []int
	for g, game := range p.Games {
		if together(teams, game.Teams) {
			plays = append(plays, g)
		}
	}
	if reason := p.static(p.Slots[slot], person, teams, plays); reason != "" || !p.no[[2]int{slot, person}] {
		return reason
	}
	return SaidNo
}

// Without leaves out whoever said no to a duty.
func (p *Plan) Without(saidNo func(game, seat, name, family string) bool) {
	p.no = map[[2]int]bool{}
	for s, slot := range p.Slots {
		p.Problem.Slots[s].Candidates = slices.DeleteFunc(p.Problem.Slots[s].Candidates, func(c rota.Candidate) bool {
			who := p.People[c.Person]
			no := saidNo(p.Games[slot.Game].ID, slot.Seat.ID, who.Name, who.Family)
			if no {
				p.no[[2]int{s, c.Person}] = true
			}
			return no
		})
	}
}

// WhyEmpty counts for an empty slot how many people each reason excludes, and how
// many could sit there but for what else they do.
func (p *Plan) WhyEmpty(slot int) (out map[Reason]int, busy int) {
	out = map[Reason]int{}
	for i := range p.People {
		if reason := p.Why(slot, i); reason != "" {
			out[reason]++
		} else {
			busy++
		}
	}
	return out, busy
}
