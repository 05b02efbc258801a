package figures

import (
	"cmp"
	"slices"
)

// By is the figure by which people lead.
type By string

// The figures of which there are lists. Goals, assists and points are whole numbers, as
// are wins and shutouts; shares and averages are thousandths, rounded only to be shown.
const (
	ByPoints    By = "points"
	ByGoals     By = "goals"
	ByAssists   By = "assists"
	ByPlusMinus By = "plus_minus"
	BySaveShare By = "save_share"
	ByAverage   By = "average"
	ByWins      By = "won"
	ByShutouts  By = "shutouts"
)

// OfKeepers says whether a figure is one of goalkeepers.
func (b By) OfKeepers() bool {
	return b == BySaveShare || b == ByAverage || b == ByWins || b == ByShutouts
}

// InThousandths says whether a figure is a share or an average, in thousandths.
func (b By) InThousandths() bool { return b == BySaveShare || b == ByAverage }

// Terms say who is listed and how equal ones are parted. They are the league's.
type Terms struct {
	SkaterGames   int  // hundredths of the team's games that a skater has to have played; nought: none
	KeeperMinutes int  // hundredths of the team's minutes for save share and average (IIHF 40, from memory); nought: none
	GameMinutes   int  // of play, for goals against a game; nought: 60
	PlusMinus     bool // who is equal by points, goals and games: the better plus-minus (IIHF, from memory)
	Places        int  // how far a list goes; nought: ten. Whoever is equal with the last one is in it
}

// Leaders is one list of the best of a stage.
type Leaders struct {
	Stage string
	By    By
	Least int // hundredths of the team's games, or minutes, that everybody in it has; nought: no such limit
	Rows  []Leader
}

// Leader is somebody in a list. Whoever played for two teams of the stage is one, with
// the sums of both.
type Leader struct {
	Place int // one number for all who are equal
	Equal bool
	Who   Person
	Teams []Team // in the order of their ids
	Value int    // of the figure
	Of    Sums
}

// Sums is what somebody did in a stage, for all teams together.
type Sums struct {
	Played, Goals, Assists, PlusMinus                     int
	KeeperPlayed, Wins, Shutouts, Seconds, Against, Shots int // in the net

	uncounted             int // games in which nobody counted shots
	teamGames, teamPlayed int // of the team: games, seconds
}

// TeamLine is how much a team played in a stage.
type TeamLine struct {
	Team    Team
	Stage   string
	Games   int
	Seconds int // of play
}

// Teams lists how much each team played, by stage and team.
func (s *Season) Teams() []TeamLine {
	list := make([]TeamLine, 0, len(s.teams))
	for _, line := range s.teams {
		list = append(list, *line)
	}
	slices.SortFunc(list, func(a, b TeamLine) int { return cmp.Or(cmp.Compare(a.Stage, b.Stage), cmp.Compare(a.Team, b.Team)) })
	return list
}

// length is the seconds of play of a game: of the two nets, the one that somebody kept
// for longer, where nothing else says it.
func (g Game) length() int {
	kept := [2]int{}
	for _, k := range g.Keepers {
		kept[k.Side] += k.Seconds
	}
	return max(g.Seconds, kept[0], kept[1])
}

// list is how one list is made.
type list struct {
	by    By
	most  func(t Terms, one Sums) (value int, has bool)
	order func(t Terms, a, b Sums) int // the better one first
}

// more compares two numbers of which the larger is the better one.
func more(a, b int) int { return b - a }

// share compares part of whole with part of whole, exactly: the larger first.
func share(part, whole, otherPart, otherWhole int) int {
	return cmp.Compare(otherPart*whole, part*otherWhole)
}

var lists = []list{
	{by: ByPoints, most: func(_ Terms, o Sums) (int, bool) { return o.Goals + o.Assists, o.Goals+o.Assists > 0 }, order: func(t Terms, a, b Sums) int {
		// NHL: points, more goals, fewer games (from memory).
		last := 0
		if t.PlusMinus {
			last = more(a.PlusMinus, b.PlusMinus)
		}
		return cmp.Or(more(a.Goals+a.Assists, b.Goals+b.Assists), more(a.Goals, b.Goals), a.Played-b.Played, last)
	}},
	// Who needed fewer games stands first: common practice, no source.
	counted(ByGoals, func(o Sums) int { return o.Goals }),
	counted(ByAssists, func(o Sums) int { return o.Assists }),
	counted(ByPlusMinus, func(o Sums) int { return o.PlusMinus }),
	{by: BySaveShare, most: func(_ Terms, o Sums) (int, bool) {
		if o.uncounted > 0 {
			return 0, false
		}
		return thousandths(o.Shots-o.Against, o.Shots)
	}, order: func(_ Terms, a, b Sums) int { return share(a.Shots-a.Against, a.Shots, b.Shots-b.Against, b.Shots) }},
	{by: ByAverage, most: func(t Terms, o Sums) (int, bool) {
		return thousandths(o.Against*cmp.Or(t.GameMinutes, 60)*60, o.Seconds)
	}, order: func(_ Terms, a, b Sums) int { return -share(a.Against, a.Seconds, b.Against, b.Seconds) }},
	counted(ByWins, func(o Sums) int { return o.Wins }),
	counted(ByShutouts, func(o Sums) int { return o.Shutouts }),
}

func counted(by By, value func(Sums) int) list {
	games := func(o Sums) int {
		if by.OfKeepers() {
			return o.KeeperPlayed
		}
		return o.Played
	}
	return list{by: by,
		most:  func(_ Terms, o Sums) (int, bool) { return value(o), value(o) > 0 },
		order: func(_ Terms, a, b Sums) int { return cmp.Or(more(value(a), value(b)), games(a)-games(b)) },
	}
}

// Leaders lists who leads in each stage, by each figure of which anybody has some.
// Whoever is equal by the figure and by all that parts equal ones shares a place, and
// stands in the order of identities.
func (s *Season) Leaders(t Terms) []Leaders {
	people, stages := s.sums()
	out := []Leaders{}
	for _, stage := range stages {
		for _, l := range lists {
			one := Leaders{Stage: stage, By: l.by, Rows: []Leader{}}
			switch {
			case l.by.InThousandths():
				one.Least = t.KeeperMinutes
			case !l.by.OfKeepers():
				one.Least = t.SkaterGames
			}
			for _, p := range people[stage] {
				value, has := l.most(t, p.Of)
				if has && p.Of.enough(l, one.Least) {
					p.Value = value
					one.Rows = append(one.Rows, p)
				}
			}
			one.place(l, t)
			if len(one.Rows) > 0 {
				out = append(out, one)
			}
		}
	}
	return out
}

// enough says whether somebody played as much as a list wants.
func (o Sums) enough(l list, least int) bool {
	switch {
	case least == 0:
		return true
	case l.by.OfKeepers():
		return o.Seconds*100 >= least*o.teamPlayed
	}
	return o.Played*100 >= least*o.teamGames
}

// place orders a list, gives equal ones one number and cuts it.
func (l *Leaders) place(by list, t Terms) {
	slices.SortFunc(l.Rows, func(a, b Leader) int { return cmp.Or(by.order(t, a.Of, b.Of), cmp.Compare(a.Who, b.Who)) })
	for i := range l.Rows {
		l.Rows[i].Place = i + 1
		if i > 0 && by.order(t, l.Rows[i-1].Of, l.Rows[i].Of) == 0 {
			l.Rows[i].Place = l.Rows[i-1].Place
			l.Rows[i].Equal, l.Rows[i-1].Equal = true, true
		}
	}
	end := slices.IndexFunc(l.Rows, func(one Leader) bool { return one.Place > cmp.Or(t.Places, 10) })
	if end >= 0 {
		l.Rows = l.Rows[:end]
	}
}

// sums adds up everybody of each stage over their teams, in the order of identities.
func (s *Season) sums() (people map[string][]Leader, stages []string) {
	type key struct {
		who   Person
		stage string
	}
	all := map[key]*Leader{}
	at := func(l Line) *Leader {
		k := key{l.Who, l.Stage}
		one := all[k]
		if one == nil {
			one = &Leader{Who: l.Who}
			all[k] = one
		}
		if i, known := slices.BinarySearch(one.Teams, l.Team); !known {
			one.Teams = slices.Insert(one.Teams, i, l.Team)
			// Of two teams the one that played more says how much is enough.
			if team := s.teams[Line{Team: l.Team, Stage: l.Stage}]; team != nil {
				one.Of.teamGames, one.Of.teamPlayed = max(one.Of.teamGames, team.Games), max(one.Of.teamPlayed, team.Seconds)
			}
		}
		return one
	}
	for key, line := range s.skaters {
		o := &at(key).Of
		o.Played += line.Played
		o.Goals += line.Goals
		o.Assists += line.Assists
		o.PlusMinus += line.PlusMinus()
	}
	for key, line := range s.keepers { // a goalkeeper's goals and assists are points too
		o := &at(key).Of
		o.Played += line.Played
		o.Goals += line.Goals
		o.Assists += line.Assists
		o.KeeperPlayed += line.Played
		o.Wins += line.Wins
		o.Shutouts += line.Shutouts
		o.Seconds += line.Seconds
		o.Against += line.Against
		o.Shots += line.Shots
		o.uncounted += line.Uncounted
	}
	people = map[string][]Leader{}
	for key, one := range all {
		people[key.stage] = append(people[key.stage], *one)
	}
	for stage := range people {
		stages = append(stages, stage)
		slices.SortFunc(people[stage], func(a, b Leader) int { return cmp.Compare(a.Who, b.Who) })
	}
	slices.Sort(stages)
	return people, stages
}
