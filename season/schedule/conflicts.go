package schedule

import (
	"cmp"
	"slices"

	"whistlestop/game/dates"
	"whistlestop/season/league"
)

// Kind is what is wrong with a place of a game.
type Kind string

// The kinds of conflicts.
const (
	SameIce    Kind = "same_ice"    // two games on one sheet at once
	NoIce      Kind = "no_ice"      // no ice slot of the league covers it
	TooShort   Kind = "too_short"   // less ice than the division's game needs
	OtherIce   Kind = "other_ice"   // the ice slot is for other divisions
	ClosedDay  Kind = "closed_day"  // nobody plays
	TeamAway   Kind = "team_away"   // the team does not play on this day
	HeldFree   Kind = "held_free"   // the day is held free for play-offs
	OutOfTimes Kind = "out_of_time" // too early, too late, or no day of the division
	TwoPlaces  Kind = "two_places"  // the same people at two games at once, or with the road too short
	Rest       Kind = "rest"        // too little rest between two games
	InADay     Kind = "in_a_day"    // too many games of a team on a day
	InAWeek    Kind = "in_a_week"   // too many games of a team in a week
	NotHome    Kind = "not_home"    // not in the home team's rink
)

// Conflict is one thing that is wrong with a schedule, with the games and the people
// that it is about.
type Conflict struct {
	Kind  Kind     `json:"kind"`
	Hard  bool     `json:"hard"`  // otherwise a wish
	Games []string `json:"games"` // ids
	Team  string   `json:"team,omitempty"`
	Who   string   `json:"who,omitempty"` // people of two teams
	Why   string   `json:"why,omitempty"` // the reason that the league file gives
}

// Conflicts are all that is wrong with a schedule, in the order of its games. Games
// without a place, and games that will not be played there, have none.
func Conflicts(l league.League, games []Game) []Conflict {
	c := checker{league: l, slots: l.Slots(), teams: map[string]league.Team{}}
	for _, d := range l.Divisions {
		for _, t := range d.Teams {
			c.teams[t.ID] = t
		}
	}
	for _, g := range games {
		if g.Place != nil && g.State != Cancelled && g.State != Postponed {
			c.games = append(c.games, g)
		}
	}
	for _, g := range c.games {
		c.alone(g)
	}
	c.pairs()
	c.counts()
	at := map[string]int{}
	for i, g := range games {
		at[g.ID] = i
	}
	slices.SortStableFunc(c.found, func(a, b Conflict) int { return cmp.Compare(at[a.Games[0]], at[b.Games[0]]) })
	return c.found
}

type checker struct {
	league league.League
	slots  []league.Slot
	teams  map[string]league.Team
	games  []Game
	found  []Conflict
}

func (c *checker) add(conflict Conflict) { c.found = append(c.found, conflict) }

func (c *checker) wish(name string) bool { return slices.Contains(c.league.Limits.Wishes, name) }

// alone is what is wrong with a game whatever else is played.
func (c *checker) alone(g Game) {
	hard := func(kind Kind, team, why string) {
		c.add(Conflict{Kind: kind, Hard: true, Games: []string{g.ID}, Team: team, Why: why})
	}
	for _, span := range c.league.Closed {
		if span.Covers(g.Place.Day) {
			hard(ClosedDay, "", span.Why)
		}
	}
	for _, id := range []string{g.Home, g.Visitors} {
		for _, span := range c.teams[id].Away {
			if span.Covers(g.Place.Day) {
				hard(TeamAway, id, span.Why)
			}
		}
	}
	at := slices.IndexFunc(c.league.Divisions, func(d league.Division) bool { return d.ID == g.Division })
	if at < 0 {
		return
	}
	d := c.league.Divisions[at]
	c.ice(d, g, hard)
	for _, span := range d.HeldFree {
		if span.Covers(g.Place.Day) {
			hard(HeldFree, "", span.Why)
		}
	}
	from, to := days(c.league, d)
	outside := g.Place.Day < from || g.Place.Day > to ||
		d.Earliest != nil && g.Place.Start < *d.Earliest ||
		d.LatestEnd != nil && int(g.Place.Start)+d.Minutes > int(*d.LatestEnd) ||
		len(d.Weekdays) > 0 && !slices.Contains(d.Weekdays, dates.Weekday(g.Place.Day.Weekday()))
	if outside {
		hard(OutOfTimes, "", "")
	}
	if home := c.teams[g.Home].Home; home != "" && home != g.Place.Rink {
		c.add(Conflict{Kind: NotHome, Games: []string{g.ID}, Team: g.Home})
	}
}

// ice is what is wrong with the ice of a game.
func (c *checker) ice(d league.Division, g Game, hard func(kind Kind, team, why string)) {
	if g.Place.Minutes < d.Minutes {
		hard(TooShort, "", "")
	}
	on := slices.IndexFunc(c.slots, func(s league.Slot) bool {
		return c.league.Rinks[s.Rink].ID == g.Place.Rink && s.Sheet == g.Place.Sheet && s.Begin() <= g.Place.Begin() && g.Place.End() <= s.End()
	})
	switch {
	case on < 0:
		hard(NoIce, "", "")
	case len(c.slots[on].For) > 0 && !slices.Contains(c.slots[on].For, d.ID):
		hard(OtherIce, "", "")
	}
}

// pairs is what is wrong between two games. Only games close in time are compared.
func (c *checker) pairs() {
	order := slices.Clone(c.games)
	slices.SortStableFunc(order, func(a, b Game) int { return cmp.Compare(a.Place.Begin(), b.Place.Begin()) })
	within := c.within()
	for i, one := range order {
		for _, other := range order[i+1:] {
			if other.Place.Begin()-one.Place.Begin() > within {
				break
			}
			c.pair(one, other)
		}
	}
}

// within is how far apart, in minutes, the starts of two games can be that still
// have to do with each other.
func (c *checker) within() int {
	most := c.league.Limits.RestMinutes
	for _, r := range c.league.Rinks {
		for _, minutes := range r.Drive {
			most = max(most, minutes)
		}
	}
	longest := 0
	for _, g := range c.games {
		longest = max(longest, g.Place.Minutes)
	}
	return most + longest
}

func (c *checker) pair(one, other Game) {
	both := []string{one.ID, other.ID}
	gap := other.Place.Begin() - one.Place.End()
	if gap < 0 && one.Place.Rink == other.Place.Rink && one.Place.Sheet == other.Place.Sheet {
		c.add(Conflict{Kind: SameIce, Hard: true, Games: both})
	}
	road := c.road(one.Place.Rink, other.Place.Rink)
	for _, team := range []string{one.Home, one.Visitors} {
		if team != other.Home && team != other.Visitors {
			continue
		}
		switch {
		case gap < road:
			c.add(Conflict{Kind: TwoPlaces, Hard: true, Games: both, Team: team})
		case gap < c.league.Limits.RestMinutes:
			c.add(Conflict{Kind: Rest, Hard: !c.wish(league.LimitRest), Games: both, Team: team})
		}
	}
	if gap >= road {
		return
	}
	for _, s := range c.league.Shared {
		in := func(g Game) string {
			for _, team := range s.Teams {
				if team == g.Home || team == g.Visitors {
					return team
				}
			}
			return ""
		}
		if a, b := in(one), in(other); a != "" && b != "" && a != b {
			c.add(Conflict{Kind: TwoPlaces, Hard: s.Hard, Games: both, Who: s.Who})
		}
	}
}

func (c *checker) road(one, other string) int {
	minutes := 0
	for _, r := range c.league.Rinks {
		switch r.ID {
		case one:
			minutes = max(minutes, r.Drive[other])
		case other:
			minutes = max(minutes, r.Drive[one])
		}
	}
	return minutes
}

// counts is which teams have too many games in a day or a week.
func (c *checker) counts() {
	type key struct {
		team string
		unit int
	}
	count := func(kind Kind, most int, name string, unit func(dates.Day) int) {
		if most == 0 {
			return
		}
		games := map[key][]string{}
		var keys []key
		for _, g := range c.games {
			for _, team := range []string{g.Home, g.Visitors} {
				k := key{team, unit(g.Place.Day)}
				if games[k] == nil {
					keys = append(keys, k)
				}
				games[k] = append(games[k], g.ID)
			}
		}
		for _, k := range keys {
			if len(games[k]) > most {
				c.add(Conflict{Kind: kind, Hard: !c.wish(name), Games: games[k], Team: k.team})
			}
		}
	}
	count(InADay, c.league.Limits.GamesADay, league.LimitDay, func(d dates.Day) int { return int(d) })
	count(InAWeek, c.league.Limits.GamesAWeek, league.LimitWeek, dates.Day.Week)
}

// Touches are the conflicts that a changed game brings: those that the schedule does
// not have without the change. Whoever moves a game sees them before it is saved.
func Touches(l league.League, games []Game, changed Game) []Conflict {
	after := slices.Clone(games)
	for i, g := range after {
		if g.ID == changed.ID {
			after[i] = changed
		}
	}
	key := func(c Conflict) string {
		text := string(c.Kind) + "|" + c.Team + "|" + c.Who + "|" + c.Why
		for _, id := range c.Games {
			text += "|" + id
		}
		return text
	}
	had := map[string]bool{}
	for _, c := range Conflicts(l, games) {
		had[key(c)] = true
	}
	var fresh []Conflict
	for _, c := range Conflicts(l, after) {
		if !had[key(c)] {
			fresh = append(fresh, c)
		}
	}
	return fresh
}
