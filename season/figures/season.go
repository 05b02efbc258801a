package figures

import (
	"cmp"
	"slices"
)

// Line is where a season's figures of a person stand: a player with two teams has
// a line for each. Regular season and play-offs have lines of their own.
type Line struct {
	Who   Person
	Team  Team
	Stage string
}

// SkaterLine is a skater's season.
type SkaterLine struct {
	Line
	Played, Goals, Assists, Plus, Minus      int
	Minutes, Shots                           int
	PowerPlay, ShortHanded, Winning          int // goals
	EmptyNet, PenaltyShot, Unassisted, First int // goals
}

// Points is goals and assists.
func (l SkaterLine) Points() int { return l.Goals + l.Assists }

// PlusMinus is plus less minus.
func (l SkaterLine) PlusMinus() int { return l.Plus - l.Minus }

// KeeperLine is a goalkeeper's season.
type KeeperLine struct {
	Line
	Played, Wins, Losses, LateLosses, Draws int
	Shutouts, Seconds, Against, Shots       int
	Minutes, Goals, Assists                 int
	Uncounted                               int // games in which nobody counted shots
}

// Saves is shots against less goals against.
func (l KeeperLine) Saves() int { return l.Shots - l.Against }

// SaveShare is saves of shots in thousandths, rounded half up; false without a shot, and
// where a game's shots were not counted.
func (l KeeperLine) SaveShare() (int, bool) {
	if l.Uncounted > 0 {
		return 0, false
	}
	return thousandths(l.Saves(), l.Shots)
}

// Average is goals against in a game of so many minutes, in thousandths, rounded
// half up (NHL glossary: goals times sixty over minutes); false without play.
func (l KeeperLine) Average(minutes int) (int, bool) {
	return thousandths(l.Against*minutes*60, l.Seconds)
}

// KillShare is penalties killed of times short-handed, in thousandths (NHL glossary).
func KillShare(times, against int) (int, bool) { return thousandths(times-against, times) }

func thousandths(part, whole int) (int, bool) {
	if whole <= 0 {
		return 0, false
	}
	return (2*1000*part + whole) / (2 * whole), true
}

// Season is the sums of some games. A game that was amended is put in anew in
// place of what it was.
type Season struct {
	// LeadKept says that the league's winning goal is the one that gave a lead which
	// was never lost again. Set it before the first game.
	LeadKept bool

	games   map[string]Game
	skaters map[Line]*SkaterLine
	keepers map[Line]*KeeperLine
	teams   map[Line]*TeamLine // without a person
}

// New is a season without a game.
func New() *Season {
	return &Season{games: map[string]Game{}, skaters: map[Line]*SkaterLine{}, keepers: map[Line]*KeeperLine{}, teams: map[Line]*TeamLine{}}
}

// Add counts a game; one of the same id that was counted before is taken out first.
func (s *Season) Add(g Game) {
	s.Remove(g.ID)
	s.games[g.ID] = g
	s.count(g, 1)
}

// Remove takes a game out, if it was counted.
func (s *Season) Remove(id string) {
	if g, known := s.games[id]; known {
		s.count(g, -1)
		delete(s.games, id)
	}
}

// Count adds a game's figures without keeping the game: whoever takes them away again
// has it.
func (s *Season) Count(g Game) { s.count(g, 1) }

// Uncount takes away what Count added of the same game.
func (s *Season) Uncount(g Game) { s.count(g, -1) }

// count adds a game's figures, or takes them away.
func (s *Season) count(g Game, by int) {
	keeps := map[Person]bool{}
	for _, k := range g.Keepers {
		keeps[k.Who] = true
		if k.Seconds <= 0 {
			continue // dressed is not played
		}
		line := s.keeper(g, k.Side, k.Who)
		line.Played += by
		line.Seconds += by * k.Seconds
		line.Against += by * k.Against
		line.Shots += by * k.Shots
		line.Minutes += by * k.Minutes
		if k.Uncounted {
			line.Uncounted += by
		}
	}
	for _, k := range g.Skaters {
		line := s.skater(g, k.Side, k.Who)
		line.Played += by
		line.Minutes += by * int(k.Minutes)
		line.Shots += by * int(k.Shots)
	}
	winning, won := g.Winning()
	if s.LeadKept {
		winning, won = g.LeadKept()
	}
	for i, goal := range g.Goals {
		s.credit(g, goal, keeps, by, won && i == winning, i == 0)
	}
	for _, side := range []Side{Home, Visitors} {
		if who, result := g.Decision(side); result != NoDecision {
			s.decide(s.keeper(g, side, who), result, by)
		}
		if who, shut := g.Shutout(side); shut {
			s.keeper(g, side, who).Shutouts += by
		}
	}
	s.play(g, by)
	s.tidy(g)
}

// play adds how much both teams played, or takes it away.
func (s *Season) play(g Game, by int) {
	for _, team := range g.Teams {
		key := Line{Team: team, Stage: g.Stage}
		line := s.teams[key]
		if line == nil {
			line = &TeamLine{Team: team, Stage: g.Stage}
			s.teams[key] = line
		}
		line.Games += by
		line.Seconds += by * g.length()
		if line.Games == 0 {
			delete(s.teams, key)
		}
	}
}

func (s *Season) credit(g Game, goal Goal, keeps map[Person]bool, by int, winning, first bool) {
	for i, who := range append([]Person{goal.By}, goal.Assists...) {
		if who == "" {
			continue
		}
		if keeps[who] { // a goalkeeper can score
			line := s.keeper(g, goal.Side, who)
			if i == 0 {
				line.Goals += by
			} else {
				line.Assists += by
			}
			continue
		}
		line := s.skater(g, goal.Side, who)
		if i > 0 {
			line.Assists += by
			continue
		}
		line.Goals += by
		for _, kind := range []struct {
			is  bool
			sum *int
		}{
			{goal.PowerPlay, &line.PowerPlay}, {goal.ShortHanded, &line.ShortHanded}, {goal.EmptyNet, &line.EmptyNet},
			{goal.PenaltyShot, &line.PenaltyShot}, {len(goal.Assists) == 0, &line.Unassisted},
			{winning, &line.Winning}, {first, &line.First},
		} {
			if kind.is {
				*kind.sum += by
			}
		}
	}
	if !goal.counts() {
		return
	}
	for _, who := range goal.Plus {
		if !keeps[who] {
			s.skater(g, goal.Side, who).Plus += by
		}
	}
	for _, who := range goal.Minus {
		if !keeps[who] {
			s.skater(g, goal.Side.other(), who).Minus += by
		}
	}
}

func (s *Season) decide(line *KeeperLine, result Result, by int) {
	switch result {
	case Win:
		line.Wins += by
	case Loss:
		line.Losses += by
	case LateLoss:
		line.LateLosses += by
	case Draw:
		line.Draws += by
	case NoDecision:
	}
}

func (s *Season) skater(g Game, side Side, who Person) *SkaterLine {
	key := Line{Who: who, Team: g.Teams[side], Stage: g.Stage}
	line, known := s.skaters[key]
	if !known {
		line = &SkaterLine{Line: key}
		s.skaters[key] = line
	}
	return line
}

func (s *Season) keeper(g Game, side Side, who Person) *KeeperLine {
	key := Line{Who: who, Team: g.Teams[side], Stage: g.Stage}
	line, known := s.keepers[key]
	if !known {
		line = &KeeperLine{Line: key}
		s.keepers[key] = line
	}
	return line
}

// tidy drops the lines of a game's people that hold nothing any more, so that a
// season is the same whichever way it came about.
func (s *Season) tidy(g Game) {
	drop := func(side Side, who Person) {
		key := Line{Who: who, Team: g.Teams[side], Stage: g.Stage}
		if line, known := s.skaters[key]; known && *line == (SkaterLine{Line: key}) {
			delete(s.skaters, key)
		}
		if line, known := s.keepers[key]; known && *line == (KeeperLine{Line: key}) {
			delete(s.keepers, key)
		}
	}
	for _, k := range g.Keepers {
		drop(k.Side, k.Who)
	}
	for _, k := range g.Skaters {
		drop(k.Side, k.Who)
	}
	for _, goal := range g.Goals {
		for _, who := range slices.Concat([]Person{goal.By}, goal.Assists, goal.Plus) {
			drop(goal.Side, who)
		}
		for _, who := range goal.Minus {
			drop(goal.Side.other(), who)
		}
	}
	for _, net := range g.Nets {
		drop(net.Side, net.Who)
	}
}

// Skaters lists all skaters: more points first, then more goals, then fewer games
// (NHL order, from memory), then by identity.
func (s *Season) Skaters() []SkaterLine {
	list := make([]SkaterLine, 0, len(s.skaters))
	for _, line := range s.skaters {
		list = append(list, *line)
	}
	slices.SortFunc(list, func(a, b SkaterLine) int {
		return cmp.Or(b.Points()-a.Points(), b.Goals-a.Goals, a.Played-b.Played, a.Line.compare(b.Line))
	})
	return list
}

// Keepers lists all goalkeepers: the longest in the net first, then by identity.
func (s *Season) Keepers() []KeeperLine {
	list := make([]KeeperLine, 0, len(s.keepers))
	for _, line := range s.keepers {
		list = append(list, *line)
	}
	slices.SortFunc(list, func(a, b KeeperLine) int { return cmp.Or(b.Seconds-a.Seconds, a.Line.compare(b.Line)) })
	return list
}

func (l Line) compare(o Line) int {
	return cmp.Or(cmp.Compare(l.Stage, o.Stage), cmp.Compare(l.Team, o.Team), cmp.Compare(l.Who, o.Who))
}

// Numbers gives each goal its scorer's running number of the season, by game and
// index of the goal. Games go by date, then by id.
func (s *Season) Numbers() map[string][]int {
	games := make([]Game, 0, len(s.games))
	for _, g := range s.games {
		games = append(games, g)
	}
	slices.SortFunc(games, func(a, b Game) int { return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.ID, b.ID)) })
	type scorer struct {
		who   Person
		stage string
	}
	count := map[scorer]int{}
	numbers := make(map[string][]int, len(games))
	for _, g := range games {
		for _, goal := range g.Goals {
			count[scorer{goal.By, g.Stage}]++
			numbers[g.ID] = append(numbers[g.ID], count[scorer{goal.By, g.Stage}])
		}
	}
	return numbers
}
