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
	AnyTeam bool // served in the next games of any team

	Takes []string // games that serve it, played or to be played, in order
	Left  int      // games for which the schedule has none

	serves string // only games after this one; otherwise after the game in which it was earned
}

// earn lists what the calls cost those who were called.
func (w *work) earn() []Suspension {
	var all []Suspension
	who := make([]string, 0, len(w.calls))
	for id := range w.calls {
		who = append(who, id)
	}
	slices.Sort(who)
	for _, id := range who {
		calls := w.calls[id]
		for begin := 0; begin < len(calls); {
			end := begin
			for end < len(calls) && calls[end].Game == calls[begin].Game {
				end++
			}
			if i, known := w.at[calls[begin].Game]; known {
				all = append(all, w.inOne(w.order[i], id, calls[:begin], calls[begin:end])...)
			}
			begin = end
		}
	}
	for _, p := range w.Priors {
		if p.Games > 0 {
			all = append(all, Suspension{Who: p.Who, Game: Before, Games: p.Games, Why: p.Why})
		}
	}
	w.byGame(all)
	return all
}

// earnCoaches lists what the teams' games cost their head coaches.
func (w *work) earnCoaches() []Suspension {
	var all []Suspension
	majors := map[string]int{} // by team: its games with many
	for _, game := range w.order {
		if coach := w.headCoach(game); coach != "" {
			all = append(all, w.asTeam(game, coach, majors)...)
		}
	}
	return all
}

// inOne is what one person earned in one game: of the rules that do not add the
// one that costs most, and all that add.
func (w *work) inOne(game Game, who string, before, now []Call) []Suspension {
	var most Suspension
	var added []Suspension
	for _, t := range w.book.Triggers {
		games, met := w.costs(t, game, who, before, now)
		if !met || games == 0 {
			continue
		}
		one := Suspension{
			Who: who, Game: game.ID, Team: cmp.Or(teamOf(now), game.Team), Games: max(games, 0),
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

func teamOf(calls []Call) string {
	for _, c := range calls {
		if c.Team != "" {
			return c.Team
		}
	}
	return ""
}

// costs says whether a trigger is met by what one person did in a game, and how
// many games that costs.
func (w *work) costs(t Trigger, game Game, who string, before, now []Call) (int, bool) {
	if !w.applies(t, game) || t.TeamPenalties+t.TeamMajors > 0 || t.UsedSuspended {
		return 0, false
	}
	switch {
	case t.SeasonMinutes > 0:
		return w.overMinutes(t, who, before, now)
	case t.Listed:
		least := 0
		for _, c := range now {
			least = max(least, c.Listed, w.book.Least[c.Infraction])
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
		return t.gameMinutes(w.book, now)
	case t.SeasonCount:
		return w.seasonCount(t, w.priorOf(t, who), before, now)
	}
	count := 0
	for _, c := range now {
		count += w.meets(t, c)
	}
	return t.Games, count >= max(t.InGame, 1)
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
func (w *work) seasonCount(t Trigger, prior int, before, now []Call) (int, bool) {
	count := prior
	for _, c := range before {
		count += w.meets(t, c)
	}
	total := 0
	for _, c := range now {
		for range w.meets(t, c) {
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
func (w *work) meets(t Trigger, c Call) int {
	attack := c.Aggressive || slices.Contains(w.book.Attacks, c.Infraction)
	if t.Fights && !c.Fighting || t.Attacks && !attack || !t.late(c) {
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
func (w *work) priorOf(t Trigger, who string) int {
	if len(t.Parts) != 1 || t.Parts[0] != "misconduct" {
		return 0
	}
	for _, p := range w.Priors {
		if p.Who == who {
			return p.Misconducts
		}
	}
	return 0
}

// overMinutes counts how often the season's minutes went over the limit or a further
// step of it in this game.
func (w *work) overMinutes(t Trigger, who string, before, now []Call) (int, bool) {
	sum := 0
	for _, p := range w.Priors {
		if p.Who == who {
			sum += p.Minutes
		}
	}
	for _, c := range before {
		sum += w.book.minutes(c)
	}
	steps := func(minutes int) int {
		if minutes <= t.SeasonMinutes {
			return 0
		}
		return 1 + (minutes-t.SeasonMinutes-1)/t.EachFurther
	}
	was := steps(sum)
	for _, c := range now {
		sum += w.book.minutes(c)
	}
	return t.Games * (steps(sum) - was), steps(sum) > was
}

// asTeam is what a head coach earned by the team's game as a whole. Majors counts the
// team's games with many of them so far.
func (w *work) asTeam(game Game, coach string, majors map[string]int) []Suspension {
	var all []Suspension
	penalties, most := w.teamCounts(game)
	for _, t := range w.book.Triggers {
		if !w.applies(t, game) {
			continue
		}
		games, met := t.Games, false
		switch {
		case t.TeamPenalties > 0:
			met = penalties >= t.TeamPenalties
		case t.TeamMajors > 0 && most >= t.TeamMajors && len(t.Season) > 0:
			key := game.Team + " " + t.Why
			majors[key]++
			games, met = t.Season[min(majors[key], len(t.Season))-1], true
		case t.UsedSuspended:
			met = len(w.Played[game.ID]) > 0 || w.used[game.ID]
		}
		if met && games != 0 {
			one := Suspension{
				Who: coach, Game: game.ID, Team: game.Team, Games: max(games, 0), Ruling: games == untilRuling,
				Why: t.Why, AnyTeam: t.AnyTeam,
			}
			if t.UsedSuspended {
				one.serves = w.Found
			}
			all = append(all, one)
		}
	}
	return all
}

// teamCounts is a team's penalties and majors in a game: every part is one.
func (w *work) teamCounts(game Game) (penalties, majors int) {
	for _, c := range w.inGame[game.ID] {
		if c.Team != "" && c.Team != game.Team {
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
