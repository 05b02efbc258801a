package suspensions

import (
	"cmp"
	"slices"
)

// Suspension is what somebody earned in a game.
type Suspension struct {
	Who     string
	Game    string // in which it was earned
	Team    string // with which
	Games   int    // 0 where only a ruling ends it
	Ruling  bool   // open until the league rules
	Why     string
	AnyTeam bool   // served in the next games of any team
	serves  string // only games after this one; otherwise after the game in which it was earned
}

// earn lists what the calls of a season cost, in the order of the games.
func earn(s Season, b Book) []Suspension {
	var all []Suspension
	for _, game := range inOrder(s) {
		for _, who := range called(s, game.ID) {
			all = append(all, s.inGame(b, game, who)...)
		}
		if coach := s.coach(game.Team); coach != "" {
			all = append(all, s.asTeam(b, game, coach)...)
		}
	}
	return all
}

// inOrder is the games by the dates on which they were really played.
func inOrder(s Season) []Game {
	games := slices.Clone(s.Games)
	slices.SortStableFunc(games, func(a, b Game) int { return cmp.Compare(a.when(), b.when()) })
	return games
}

// called is everybody with a call in a game, each once, by identity.
func called(s Season, game string) []string {
	var who []string
	for _, c := range s.Calls {
		if c.Game == game && c.Who != "" {
			who = append(who, c.Who)
		}
	}
	slices.Sort(who)
	return slices.Compact(who)
}

// inGame is what one person earned in one game: of the rules that do not add the
// one that costs most, and all that add.
func (s Season) inGame(b Book, game Game, who string) []Suspension {
	var most Suspension
	var added []Suspension
	for _, t := range b.Triggers {
		games, met := s.costs(b, t, game, who)
		if !met || games == 0 {
			continue
		}
		one := Suspension{
			Who: who, Game: game.ID, Team: cmp.Or(s.teamOf(game, who), game.Team), Games: max(games, 0),
			Ruling: games == untilRuling, Why: t.Why, AnyTeam: t.AnyTeam,
		}
		switch {
		case t.Adds:
			added = append(added, one)
		case most.Why == "" || one.Ruling && !most.Ruling || !most.Ruling && one.Games > most.Games:
			most = one
		}
	}
	if most.Why != "" {
		added = append([]Suspension{most}, added...)
	}
	return added
}

func (s Season) teamOf(game Game, who string) string {
	for _, c := range s.Calls {
		if c.Game == game.ID && c.Who == who && c.Team != "" {
			return c.Team
		}
	}
	return ""
}

// costs says whether a trigger is met by what one person did in a game, and how
// many games that costs.
func (s Season) costs(b Book, t Trigger, game Game, who string) (int, bool) {
	if t.Age == "youth" && s.Adult || t.Age == "adult" && !s.Adult ||
		t.TeamPenalties+t.TeamMajors > 0 || t.UsedSuspended {
		return 0, false
	}
	before, now := s.callsOf(who, game)
	switch {
	case t.SeasonMinutes > 0:
		return s.overMinutes(b, t, who, before, now)
	case t.Listed:
		least := 0
		for _, c := range now {
			least = max(least, c.Listed)
		}
		return least, least > 0
	case t.Penalties > 0:
		count, conduct := 0, false
		for _, c := range now {
			count += len(c.Parts)
			conduct = conduct || c.Unsportsmanlike
		}
		return t.Games, count >= t.Penalties && (conduct || !t.Unsportsmanlike)
	case t.Minutes > 0:
		return t.gameMinutes(b, now)
	case t.SeasonCount:
		return t.seasonCount(s.priorOf(t, who), before, now)
	}
	count := 0
	for _, c := range now {
		count += t.meets(c)
	}
	return t.Games, count >= max(t.InGame, 1)
}

// callsOf lists a person's calls in earlier games, and in this one.
func (s Season) callsOf(who string, game Game) (before, now []Call) {
	in := func(id string) (list []Call) {
		for _, c := range s.Calls {
			if c.Game == id && c.Who == who {
				list = append(list, c)
			}
		}
		return list
	}
	for _, g := range append([]Game{{ID: Before}}, inOrder(s)...) {
		if g.ID == game.ID {
			break
		}
		before = append(before, in(g.ID)...)
	}
	return before, in(game.ID)
}

// gameMinutes is met by the call that brings a person to so many minutes in a game.
func (t Trigger) gameMinutes(b Book, now []Call) (int, bool) {
	sum := 0
	for _, c := range now {
		was := sum
		sum += b.minutes(c)
		if was < t.Minutes && sum >= t.Minutes && t.late(c) {
			return t.Games, true
		}
	}
	return 0, false
}

// seasonCount is what each further call of a season costs; prior were counted before.
func (t Trigger) seasonCount(prior int, before, now []Call) (int, bool) {
	count := prior
	for _, c := range before {
		count += t.meets(c)
	}
	total := 0
	for _, c := range now {
		for range t.meets(c) {
			count++
			games := t.Season[min(count, len(t.Season))-1]
			if games == untilRuling {
				return untilRuling, true
			}
			total += games
		}
	}
	return total, total > 0
}

// meets counts how often a call is what a trigger asks for.
func (t Trigger) meets(c Call) int {
	if t.Fights && !c.Fighting || t.Attacks && !c.Aggressive || !t.late(c) {
		return 0
	}
	if len(t.Parts) == 0 {
		return 1
	}
	least := len(c.Parts)
	for _, part := range t.Parts {
		has := 0
		for _, p := range c.Parts {
			if p == part {
				has++
			}
		}
		least = min(least, has)
	}
	return least
}

func (t Trigger) late(c Call) bool { return t.Last == 0 || int64(c.Left) <= int64(t.Last)*60_000 }

func (b Book) minutes(c Call) int {
	sum := 0
	for _, part := range c.Parts {
		sum += b.Charges[part]
	}
	return sum
}

// priorOf is what a record before the season's known games has of a trigger.
func (s Season) priorOf(t Trigger, who string) int {
	if len(t.Parts) != 1 || t.Parts[0] != "misconduct" {
		return 0
	}
	for _, p := range s.Priors {
		if p.Who == who {
			return p.Misconducts
		}
	}
	return 0
}

// overMinutes counts how often the season's minutes went over the limit or a further
// step of it in this game.
func (s Season) overMinutes(b Book, t Trigger, who string, before, now []Call) (int, bool) {
	sum := 0
	for _, p := range s.Priors {
		if p.Who == who {
			sum += p.Minutes
		}
	}
	for _, c := range before {
		sum += b.minutes(c)
	}
	steps := func(minutes int) int {
		if minutes <= t.SeasonMinutes {
			return 0
		}
		return 1 + (minutes-t.SeasonMinutes-1)/t.EachFurther
	}
	was := steps(sum)
	for _, c := range now {
		sum += b.minutes(c)
	}
	return t.Games * (steps(sum) - was), steps(sum) > was
}

// asTeam is what a head coach earned by the team's game as a whole.
func (s Season) asTeam(b Book, game Game, coach string) []Suspension {
	var all []Suspension
	for _, t := range b.Triggers {
		if t.Age == "youth" && s.Adult || t.Age == "adult" && !s.Adult {
			continue
		}
		games, met := t.Games, false
		switch {
		case t.TeamPenalties > 0:
			count, _ := s.teamCounts(game)
			met = count >= t.TeamPenalties
		case t.TeamMajors > 0:
			times := 0
			for _, g := range inOrder(s) {
				if _, majors := s.teamCounts(g); g.Team == game.Team && majors >= t.TeamMajors {
					times++
				}
				if g.ID == game.ID {
					break
				}
			}
			if _, majors := s.teamCounts(game); majors >= t.TeamMajors && len(t.Season) > 0 {
				games, met = t.Season[min(times, len(t.Season))-1], true
			}
		case t.UsedSuspended:
			met = len(s.Played[game.ID]) > 0
		}
		if met && games != 0 {
			one := Suspension{
				Who: coach, Game: game.ID, Team: game.Team, Games: max(games, 0), Ruling: games == untilRuling,
				Why: t.Why, AnyTeam: t.AnyTeam,
			}
			if t.UsedSuspended {
				one.serves = s.Found
			}
			all = append(all, one)
		}
	}
	return all
}

// teamCounts is a team's penalties and majors in a game: every part is one.
func (s Season) teamCounts(game Game) (penalties, majors int) {
	for _, c := range s.Calls {
		if c.Game != game.ID || c.Team != "" && c.Team != game.Team {
			continue
		}
		penalties += c.Penalties + len(c.Parts)
		majors += c.Majors
		for _, part := range c.Parts {
			if part == "major" {
				majors++
			}
		}
	}
	return penalties, majors
}
