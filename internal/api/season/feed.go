package season

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// refresh is how often whoever follows a calendar is asked to look again.
const refresh = time.Hour

// calendar gives the games of a team, a rink or the league as a calendar.
func (s *Service) calendar(c *api.Call) (api.File, error) {
	f, err := s.planned()
	if err != nil {
		return api.File{}, err
	}
	team, rink := c.Query("team"), c.Query("rink")
	var chosen []schedule.Game
	for _, g := range f.games {
		if (team == "" || g.Home == team || g.Visitors == team) && (rink == "" || f.inRink(g, rink)) {
			chosen = append(chosen, g)
		}
	}
	if len(chosen) == 0 {
		return api.File{}, api.NotThere("season.no_games")
	}
	name := say(c, "command.export.name", "league", f.league.Name, "season", f.league.Season)
	for _, part := range []string{f.team(team), f.rink(rink)} {
		if part != "" {
			name += ", " + part
		}
	}
	raw := calendar.Write(calendar.Calendar{
		Name: name, Product: "-//Whistlestop//Season//EN", Zone: f.zone, Stamp: time.UnixMilli(int64(c.Now)).UTC(),
		Refresh: refresh, Events: Events(c.Words, *f.league, f.zone, chosen),
	})
	return api.File{Raw: raw, Media: "text/calendar; charset=utf-8", Name: cmp.Or(team, rink, "league") + ".ics"}, nil
}

// inRink says whether a game is in a rink, or was there before it lost its place:
// whoever follows the rink has to learn that it was called off.
func (f files) inRink(g schedule.Game, rink string) bool {
	at := g.LastPlace()
	return at != nil && at.Rink == rink
}

// Events are games as a calendar has them, by time. A game that has no time any more
// stands where it was, as cancelled, so that it does not vanish from people's calendars.
func Events(words api.Words, l league.League, zone *time.Location, games []schedule.Game) []calendar.Event {
	f := files{league: &l}
	say := func(key string, pairs ...string) string { return words.Text(key, rules.Pairs(pairs...)) }
	var list []calendar.Event
	games = slices.Clone(games)
	slices.SortStableFunc(games, func(a, b schedule.Game) int { return cmp.Compare(begin(a), begin(b)) })
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
		division, _ := f.division(g.Division)
		e := calendar.Event{
			UID: calendar.UID(l.Name, l.Season, g.ID), Sequence: g.Sequence(), Status: status,
			Start: at.Day.In(zone, int(at.Start)), End: at.Day.In(zone, int(at.Start)+at.Minutes),
			Summary:  say("command.schedule.game", "id", g.ID, "home", f.team(g.Home), "visitors", f.team(g.Visitors), "division", division.Name),
			Location: say("command.export.location", "rink", f.rink(at.Rink), "sheet", strconv.Itoa(at.Sheet)),
		}
		if g.State != schedule.Scheduled {
			e.Summary = say("command.export.state_first", "state", say("schedule.state."+string(g.State)), "game", e.Summary)
		}
		if n := len(g.Was); n > 0 {
			e.Description = g.Was[n-1].Why
		}
		list = append(list, e)
	}
	return list
}

// begin orders games by time.
func begin(g schedule.Game) int {
	if at := g.LastPlace(); at != nil {
		return at.Begin()
	}
	return 0
}

func say(c *api.Call, key string, pairs ...string) string {
	return c.Words.Text(key, rules.Pairs(pairs...))
}
