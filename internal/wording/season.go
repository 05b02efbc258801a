package wording

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/message"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// Season says things of a league's games.
type Season struct {
	Words  Words
	League league.League
}

func (s Season) say(key string, pairs ...string) string { return Say(s.Words, key, pairs...) }

// Game names a game.
func (s Season) Game(g schedule.Game) string {
	return s.say("command.schedule.game", "id", g.ID, "home", s.League.TeamName(g.Home), "visitors", s.League.TeamName(g.Visitors), "division", s.League.DivisionName(g.Division))
}

// Place says when and where a game is.
func (s Season) Place(at *schedule.Place) string {
	if at == nil {
		return s.say("command.schedule.no_place")
	}
	return s.say("command.schedule.place", "day", at.Day.String(), "start", at.Start.String(), "rink", s.League.RinkName(at.Rink), "sheet", strconv.Itoa(at.Sheet))
}

// State names a state of a game.
func (s Season) State(state schedule.State) string {
	return s.say("schedule.state." + string(state))
}

// Conflicts says what is wrong with a schedule, each in a sentence.
func (s Season) Conflicts(games []schedule.Game, list []schedule.Conflict) []string {
	of := map[string]schedule.Game{}
	for _, g := range games {
		of[g.ID] = g
	}
	var lines []string
	for _, c := range list {
		var names []string
		for _, id := range c.Games {
			g := of[id]
			names = append(names, s.say("command.conflicts.game", "game", s.Game(g), "place", s.Place(g.Place)))
		}
		weight := "command.conflicts.wish"
		if c.Hard {
			weight = "command.conflicts.rule"
		}
		team := s.League.TeamName(c.Team)
		lines = append(lines, s.say("command.conflicts."+string(c.Kind), "weight", s.say(weight), "games", strings.Join(names, "; "), "team", team, "who", cmp.Or(c.Who, team), "why", c.Why))
	}
	return lines
}

// Findings say what is wrong with a schedule that somebody else made.
func (s Season) Findings(list []schedule.Finding) []string {
	var lines []string
	for _, f := range list {
		if f.Line == 0 {
			lines = append(lines, s.Words.Text(f.Say.Key, f.Say.Args))
			continue
		}
		lines = append(lines, s.say("incoming.at_line", "line", strconv.Itoa(f.Line), "why", "@"+f.Say.String()))
	}
	return lines
}

// Calendar is games as a calendar, in the rinks' zone. Its name ends with what it is
// of, if not of the whole league.
func (s Season) Calendar(games []schedule.Game, zone *time.Location, stamp time.Time, of ...string) calendar.Calendar {
	name := s.say("command.export.name", "league", s.League.Name, "season", s.League.Season)
	for _, part := range of {
		if part != "" {
			name += ", " + part
		}
	}
	return calendar.Calendar{Name: name, Product: "-//Whistlestop//Season//EN", Zone: zone, Stamp: stamp, Refresh: time.Hour, Events: s.events(zone, games)}
}

// events are games as a calendar has them, by time. A game that has no time any more
// stands where it was, as cancelled, so that it does not vanish from people's calendars.
func (s Season) events(zone *time.Location, games []schedule.Game) []calendar.Event {
	var list []calendar.Event
	games = slices.Clone(games)
	slices.SortStableFunc(games, func(a, b schedule.Game) int { return cmp.Compare(lastBegin(a), lastBegin(b)) })
	for _, g := range games {
		at, status := g.LastPlace(), calendar.Confirmed
		if at == nil {
			continue // it never had a time
		}
		switch {
		case g.State == schedule.Cancelled || g.Place == nil:
			status = calendar.Cancelled
		case g.State == schedule.ToBeConfirmed:
			status = calendar.Tentative
		}
		e := calendar.Event{
			UID: calendar.UID(s.League.Name, s.League.Season, g.ID), Sequence: g.Sequence(), Status: status,
			Start: at.Day.In(zone, int(at.Start)), End: at.Day.In(zone, int(at.Start)+at.Minutes),
			Summary:  s.Game(g),
			Location: s.say("command.export.location", "rink", s.League.RinkName(at.Rink), "sheet", strconv.Itoa(at.Sheet)),
		}
		if g.State != schedule.Scheduled {
			e.Summary = s.say("command.export.state_first", "state", s.State(g.State), "game", e.Summary)
		}
		if n := len(g.Was); n > 0 {
			e.Description = g.Was[n-1].Why
		}
		list = append(list, e)
	}
	return list
}

// lastBegin orders games by the time that they have, or had last.
func lastBegin(g schedule.Game) int {
	if at := g.LastPlace(); at != nil {
		return at.Begin()
	}
	return 0
}

// Rounds are rows, under titles, of who meets whom.
func Rounds(w Words, teams []string, rounds []schedule.Round) [][]string {
	lines := [][]string{titles(w, "command.rounds.", "round", "home", "visitors")}
	for r, round := range rounds {
		for _, game := range round {
			lines = append(lines, []string{strconv.Itoa(r + 1), teams[game.Home], teams[game.Away]})
		}
	}
	return lines
}

// signed is a number with its sign, also above nought.
func signed(n int) string { return fmt.Sprintf("%+d", n) }

// says are sentences of the pure packages.
func says[T any](w Words, list []T, of func(T) message.Say) []string {
	var lines []string
	for _, one := range list {
		say := of(one)
		lines = append(lines, w.Text(say.Key, say.Args))
	}
	return lines
}
