package season

import (
	"slices"

	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
	"whistlestop/season/tally"
)

// schedule lists games of the schedule.
func (s *Service) schedule(c *api.Call) (scheduleJSON, error) {
	f, err := s.planned()
	if err != nil {
		return scheduleJSON{}, err
	}
	opened, err := s.opened(c)
	if err != nil {
		return scheduleJSON{}, err
	}
	out := scheduleJSON{Games: []scheduledJSON{}, Mark: mark(f.scheduleText), Today: f.today(c.Now).String()}
	day := c.Query("day")
	if day == "today" {
		day = out.Today
	}
	for _, g := range f.games {
		team, rink := c.Query("team"), c.Query("rink")
		switch {
		case team != "" && g.Home != team && g.Visitors != team:
		case rink != "" && (g.Place == nil || g.Place.Rink != rink):
		case day != "" && (g.Place == nil || g.Place.Day.String() != day):
		default:
			out.Games = append(out.Games, played(scheduledOf(g), opened[g.ID]))
		}
	}
	return out, nil
}

// opened are the bench's games by their ids in the schedule. Of two with one id the
// newer counts: the older was opened by mistake.
func (s *Service) opened(c *api.Call) (map[string]bench.Title, error) {
	titles, err := s.Live.Games(c)
	if err != nil {
		return nil, err
	}
	of := map[string]bench.Title{}
	for _, title := range titles {
		if before, twice := of[title.Schedule]; title.Schedule != "" && (!twice || before.Opened < title.Opened) {
			of[title.Schedule] = title
		}
	}
	return of, nil
}

// played adds what the bench knows of a game.
func played(g scheduledJSON, title bench.Title) scheduledJSON {
	if title.ID == "" {
		return g
	}
	score := title.Score
	g.Game, g.Score, g.Finished = title.ID, &score, title.Stage.Kind == entry.Over
	return g
}

// clashes are what is wrong with the schedule.
func (s *Service) clashes(*api.Call) (clashesJSON, error) {
	f, err := s.planned()
	if err != nil {
		return clashesJSON{}, err
	}
	return clashesJSON{Clashes: clashesOf(schedule.Conflicts(*f.league, f.games))}, nil
}

// change says what a change of a game touches, and makes it.
func (s *Service) change(c *api.Call, in changeGameJSON) (changedGameJSON, error) {
	s.changing.Lock()
	defer s.changing.Unlock()
	f, err := s.planned()
	if err != nil {
		return changedGameJSON{}, err
	}
	if in.Saw != mark(f.scheduleText) {
		return changedGameJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "season.schedule_changed")
	}
	at := f.game(c.Part("scheduled"))
	if at < 0 {
		return changedGameJSON{}, api.NotThere("season.no_game", "game", api.Clip(c.Part("scheduled")))
	}
	if !slices.Contains(schedule.States, schedule.State(in.State)) {
		return changedGameJSON{}, api.Refuse("season.no_state", "state", api.Clip(in.State)).About("state")
	}
	place, err := f.place(in.Place)
	if err != nil {
		return changedGameJSON{}, err
	}
	changed, err := f.games[at].Change(schedule.State(in.State), place, in.Why)
	if err != nil {
		return changedGameJSON{}, refuse(err)
	}
	touched := schedule.Touches(*f.league, f.games, changed)
	opened, err := s.opened(c)
	if err != nil {
		return changedGameJSON{}, err
	}
	out := changedGameJSON{
		Game: played(scheduledOf(changed), opened[changed.ID]), Touches: clashesOf(touched), Mark: mark(f.scheduleText),
		Duties: s.duties(c, f.games, changed),
	}
	games := slices.Clone(f.games)
	games[at] = changed
	made := f
	made.games = games
	if err := s.under(c, f, made, func(before, then tally.Season) {
		for i, g := range before.Games { // what becomes of the game itself is what was asked for
			if g.ID == changed.ID {
				before.Games = slices.Clone(before.Games)
				before.Games[i].State = changed.State
			}
		}
		out.Changes = forPeople(c, before, then, changesMost)
	}); err != nil {
		return changedGameJSON{}, err
	}
	if !in.Act {
		return out, nil
	}
	if !in.Anyway && slices.ContainsFunc(touched, func(one schedule.Conflict) bool { return one.Hard }) {
		return changedGameJSON{}, api.Refuse("season.clashes")
	}
	text, err := schedule.Keep(*f.league, games)
	if err == nil { // what is kept must be readable, whatever was asked
		_, err = schedule.Read(text, *f.league)
	}
	if err != nil {
		return changedGameJSON{}, refuse(err)
	}
	if err := s.keeper(f).KeepSchedule(text); err != nil {
		return changedGameJSON{}, s.notKept("the schedule", err)
	}
	s.Logger.Info("a game of the schedule was changed", "game", changed.ID, "state", changed.State)
	out.Done, out.Mark = true, mark(text)
	return out, nil
}

// duties says what a change does to those on duty. A game moves also where they cannot
// be read.
func (s *Service) duties(c *api.Call, games []schedule.Game, changed schedule.Game) []string {
	if s.Duties == nil {
		return []string{}
	}
	list, err := s.Duties(c, games, changed)
	if err != nil {
		s.Logger.Error("read who is on duty at a game that changes", "game", changed.ID, "error", err)
		return []string{say(c, "crew.moved.unknown")}
	}
	return append([]string{}, list...)
}

// place is a place that was sent, if it is one of the league.
func (f files) place(in *placeJSON) (*schedule.Place, error) {
	if in == nil {
		return nil, nil
	}
	p := schedule.Place{Rink: in.Rink, Sheet: in.Sheet, Minutes: in.Minutes}
	at := slices.IndexFunc(f.league.Rinks, func(r league.Rink) bool { return r.ID == in.Rink })
	if at < 0 || p.Sheet < 1 || p.Sheet > f.league.Rinks[at].Sheets {
		return nil, api.Refuse("season.no_rink").About("rink")
	}
	day, err := dates.Parse(in.Day)
	if err != nil {
		return nil, refuse(err).About("day")
	}
	if p.Day = day; p.Start.UnmarshalText([]byte(in.Start)) != nil {
		return nil, api.Refuse("season.no_start").About("start")
	}
	if p.Minutes < 1 || p.Minutes > 24*60 {
		return nil, api.Refuse("season.no_minutes").About("minutes")
	}
	return &p, nil
}
