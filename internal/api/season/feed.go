package season

import (
	"cmp"
	"time"

	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
	"whistlestop/season/calendar"
	"whistlestop/season/schedule"
)

// calendar gives the games of a team, a rink or the league as a calendar.
func (s *Service) calendar(c *api.Call) (api.File, error) {
	f, err := s.planned()
	if err != nil {
		return api.File{}, err
	}
	team, rink := c.Query("team"), c.Query("rink")
	chosen := schedule.Of(f.games, team, rink)
	if len(chosen) == 0 {
		return api.File{}, api.NotThere("season.no_games")
	}
	feed := wording.Season{Words: c.Words, League: *f.league}.Calendar(chosen, f.zone, time.UnixMilli(int64(c.Now)).UTC(), f.team(team), f.rink(rink))
	return api.File{Raw: calendar.Write(feed), Media: "text/calendar; charset=utf-8", Name: cmp.Or(team, rink, "league") + ".ics"}, nil
}

func say(c *api.Call, key string, pairs ...string) string {
	return c.Words.Text(key, rules.Pairs(pairs...))
}
