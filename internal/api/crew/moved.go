package crew

import (
	"slices"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/onduty"
	"whistlestop/crew/seating"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
	"whistlestop/season/schedule"
)

// Moved says what a change of a game does to the people on duty, in sentences: whoever
// has to be asked again, cannot come then, or is not needed. Games are the schedule as it
// is. Who is on duty is known by the desk or by the file that another computer's desk
// handed over; a bench that knows of no duty says nothing.
func (b *Bench) Moved(c *api.Call, games []schedule.Game, changed schedule.Game) ([]string, error) {
	if b.Desk != nil && b.Desk.Papers != nil {
		return with(b.Desk, c, func(v view) ([]string, error) { return v.moved(c, changed) })
	}
	f, _, known, err := b.file(c)
	if err != nil || !known {
		return nil, err
	}
	return movedOf(c, f, games, changed), nil
}

// moved holds the desk against the schedule with a changed game.
func (v view) moved(c *api.Call, changed schedule.Game) ([]string, error) {
	if v.league == nil || len(v.people) == 0 || len(v.rota) == 0 {
		return nil, nil
	}
	now, err := v.everything()
	if err != nil {
		return nil, err
	}
	after := v
	after.season.games = slices.Clone(v.season.games)
	at := slices.IndexFunc(after.season.games, func(g schedule.Game) bool { return g.ID == changed.ID })
	if at < 0 {
		return nil, nil
	}
	after.season.games[at] = changed
	then, err := after.everything()
	if err != nil {
		return nil, err
	}
	d := desk.Open(*v.league, now, v.rota, v.log, v.now)
	return wording.OfDesk(c.Words, d).Moved(d.Moved(then), changed.ID), nil
}

// everything is the plan of all games, which may have no seat.
func (v view) everything() (*seating.Plan, error) {
	plan, err := seating.Build(v.rules, v.people, v.crewGames(everyDay))
	if err != nil {
		return nil, api.Refuse("crew.refused", "why", api.Plain(err))
	}
	desk.LeaveOut(plan, v.log)
	return plan, nil
}

// movedOf says what a file of those on duty tells: nobody's reasons, but who sits there
// and who may have another duty at that time.
func movedOf(c *api.Call, f onduty.File, games []schedule.Game, changed schedule.Game) []string {
	g, known := f.Of(changed.ID)
	at := slices.IndexFunc(games, func(one schedule.Game) bool { return one.ID == changed.ID })
	if !known || at < 0 {
		return nil
	}
	before, after := games[at].Place, changed.Place
	needed := after != nil && changed.State == schedule.Scheduled
	if needed && before != nil && before.Rink == after.Rink && before.Day == after.Day && before.Start == after.Start {
		return nil
	}
	var lines []string
	for _, s := range g.Seats {
		pairs := []string{"name", s.Name, "seat", wording.Seat(c.Words, s.ID)}
		switch {
		case s.Mark == duties.Came || s.Mark == duties.Missed:
			continue // it was played
		case !needed:
			lines = append(lines, say(c, "crew.moved.not_needed", pairs...))
			continue
		}
		key := "crew.moved.ask_again"
		for _, id := range f.Also(s.Name, changed.ID) {
			i := slices.IndexFunc(games, func(one schedule.Game) bool { return one.ID == id })
			if i >= 0 && games[i].Place != nil && games[i].Place.Begin() < after.End() && after.Begin() < games[i].Place.End() {
				key, pairs = "crew.moved.perhaps", append(pairs, "game", id)
				break
			}
		}
		lines = append(lines, say(c, key, pairs...))
	}
	return lines
}
