package season

import (
	"slices"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// incomingJSON is what a file says, and what it would change or changed.
type incomingJSON struct {
	Games    int                  `json:"games"`   // that were read
	Columns  []incomingColumnJSON `json:"columns"` // of a table
	Findings []fileFindingJSON    `json:"findings"`
	Fresh    []scheduledJSON      `json:"fresh"`   // games that the schedule does not have
	Changed  []scheduledJSON      `json:"changed"` // as they are then; how they stood is the last of was
	Gone     []string             `json:"gone"`    // ids of games that the file does not have: they stay as they are
	Clashes  []clashJSON          `json:"clashes"` // that the schedule does not have without the file
	Kept     bool                 `json:"kept"`
	Mark     string               `json:"mark"` // of the schedule as it is now
}

// incomingColumnJSON is a column of a table.
type incomingColumnJSON struct {
	Title string `json:"title"`
	Holds string `json:"holds"` // id, uid, in, home, visitors, day, start, minutes, rink, sheet, state; empty: nothing that is known
}

// incoming says what a file would change in the schedule and, with keep, changes it.
func (s *Service) incoming(c *api.Call) (incomingJSON, error) {
	text, err := c.Body()
	if err != nil {
		return incomingJSON{}, err
	}
	s.changing.Lock()
	defer s.changing.Unlock()
	f, err := s.ready()
	switch {
	case err != nil:
		return incomingJSON{}, err
	case f.scheduleBad != nil:
		return incomingJSON{}, api.NotNow("season.bad_schedule")
	}
	out := incomingJSON{
		Columns: []incomingColumnJSON{}, Findings: []fileFindingJSON{}, Fresh: []scheduledJSON{}, Changed: []scheduledJSON{}, Gone: []string{},
		Clashes: []clashJSON{}, Mark: mark(f.scheduleText),
	}
	name := c.Query("name")
	read, err := s.ReadGames(name, text, *f.league)
	if err != nil {
		out.Findings = append(out.Findings, finding(c, err))
		return out, nil
	}
	taken, err := s.taken(c, f)
	if err != nil {
		return incomingJSON{}, err
	}
	games, more := schedule.Update(*f.league, f.games, read.Rows, say(c, "command.schedule.from", "file", message.Plain(api.Clip(name))), f.since(c), taken...)
	out.Games = len(read.Rows)
	for _, column := range read.Columns {
		out.Columns = append(out.Columns, incomingColumnJSON(column))
	}
	for _, one := range slices.Concat(read.Findings, more) {
		if one.Say.Key == "incoming.not_there" {
			out.Gone = append(out.Gone, one.Say.Args.Get("game"))
			continue
		}
		out.Findings = append(out.Findings, fileFindingJSON{Line: one.Line, Mistake: true, Text: c.Words.Text(one.Say.Key, one.Say.Args)})
	}
	for i, g := range games {
		switch {
		case i >= len(f.games):
			out.Fresh = append(out.Fresh, scheduledOf(g))
		case f.games[i].Sequence() != g.Sequence():
			out.Changed = append(out.Changed, scheduledOf(g))
		}
	}
	out.Clashes = clashesOf(brought(*f.league, f.games, games))
	if c.Query("keep") == "" || len(out.Fresh)+len(out.Changed) == 0 {
		return out, nil
	}
	if c.Query("keep") != out.Mark && (c.Query("keep") != "new" || f.scheduleText != nil) {
		return incomingJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "season.schedule_changed")
	}
	kept, err := s.keepGames(f, games)
	out.Kept, out.Mark = kept.Kept, kept.Mark
	return out, err
}

// since is the day from which new games count as added later; nil: the schedule is new,
// or the season has not begun.
func (f files) since(c *api.Call) *dates.Day {
	if today := f.today(c.Now); f.scheduleText != nil && today > f.league.From {
		return &today
	}
	return nil
}

// brought are the clashes that a schedule has and the one before it has not.
func brought(l league.League, before, after []schedule.Game) []schedule.Conflict {
	same := func(one schedule.Conflict) func(schedule.Conflict) bool {
		return func(o schedule.Conflict) bool {
			return o.Kind == one.Kind && o.Team == one.Team && o.Who == one.Who && slices.Equal(o.Games, one.Games)
		}
	}
	had := schedule.Conflicts(l, before)
	return slices.DeleteFunc(schedule.Conflicts(l, after), func(one schedule.Conflict) bool { return slices.ContainsFunc(had, same(one)) })
}
