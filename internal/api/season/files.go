package season

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/season/schedule"
)

// overview says what the season is made of. Where a file is damaged only the bench
// learns why: its words may be those of the file.
func (s *Service) overview(c *api.Call) (seasonJSON, error) {
	out := seasonJSON{Rinks: []seasonRinkJSON{}, Divisions: []seasonDivisionJSON{}}
	if s.Kept == nil {
		return out, nil
	}
	f, err := s.files()
	if err != nil {
		return out, err
	}
	for _, bad := range []error{f.leagueBad, f.scheduleBad, f.decisionsBad} {
		if bad != nil && c.Here {
			out.Trouble = api.Reason(c.Words, bad)
		}
	}
	if f.league == nil {
		return out, nil
	}
	l := *f.league
	out.League, out.Season, out.From, out.To = l.Name, l.Season, l.From.String(), l.To.String()
	out.Today, out.Scheduled = f.today(c.Now).String(), f.scheduleText != nil && f.scheduleBad == nil
	for _, r := range l.Rinks {
		out.Rinks = append(out.Rinks, seasonRinkJSON{ID: r.ID, Name: r.Name, Sheets: r.Sheets})
	}
	out.Divisions = divisionsOf(l)
	return out, nil
}

// league is the file as it is kept.
func (s *Service) league(c *api.Call) (leagueFileJSON, error) {
	f, err := s.files()
	if err != nil {
		return leagueFileJSON{}, err
	}
	return leagueFileJSON{Text: string(f.leagueText), Mark: mark(f.leagueText), Kept: true, Findings: s.looks(c, f)}, nil
}

// keepLeague checks a league file and keeps it.
func (s *Service) keepLeague(c *api.Call, in keepLeagueJSON) (leagueFileJSON, error) {
	s.changing.Lock()
	defer s.changing.Unlock()
	f, err := s.files()
	if err != nil {
		return leagueFileJSON{}, err
	}
	if in.Saw != "" && in.Saw != mark(f.leagueText) {
		return leagueFileJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "season.league_changed")
	}
	text := []byte(in.Text)
	if len(text) == 0 {
		text = []byte{} // a file that is there and says nothing
	}
	kept, err := s.Kept.Schedule()
	if err != nil {
		s.Logger.Error("read the schedule", "error", err)
		return leagueFileJSON{}, api.NotNow("season.unreadable")
	}
	made := parse(text, kept, f.decisionsText)
	out := leagueFileJSON{Text: in.Text, Mark: mark(f.leagueText), Findings: s.looks(c, made)}
	if in.Check || slices.ContainsFunc(out.Findings, func(one fileFindingJSON) bool { return one.Mistake }) {
		return out, nil
	}
	if err := s.keeper(f).KeepLeague(text); err != nil {
		return out, s.notKept("the league file", err)
	}
	s.Logger.Info("the league file was kept", "league", made.league.Name, "season", made.league.Season)
	out.Kept, out.Mark = true, mark(text)
	return out, nil
}

// looks is what is wrong or odd with a league file, and with the schedule under it.
func (s *Service) looks(c *api.Call, f files) []fileFindingJSON {
	list := []fileFindingJSON{}
	if f.leagueBad != nil {
		return append(list, finding(c, f.leagueBad))
	}
	if f.scheduleBad != nil {
		list = append(list, fileFindingJSON{Mistake: true, Text: api.Reason(c.Words, message.Because(f.scheduleBad, "season.schedule_unfit"))})
	}
	if f.before != "" {
		list = append(list, fileFindingJSON{Text: say(c, "season.schedule_before", "before", message.Plain(f.before), "season", message.Plain(f.league.Season))})
	}
	if f.before != "" && len(f.decisionsText) > 0 {
		list = append(list, fileFindingJSON{Text: say(c, "season.decisions_before", "before", message.Plain(f.before))})
	}
	if f.decisionsBad != nil {
		list = append(list, fileFindingJSON{Mistake: true, Text: api.Reason(c.Words, message.Because(f.decisionsBad, "season.decisions_unfit"))})
	}
	if f.league == nil {
		return list
	}
	known := map[string]bool{}
	for _, d := range c.Divisions().Divisions {
		known[d.ID] = true
	}
	for _, d := range f.league.Divisions {
		if !known[d.Plays] {
			list = append(list, fileFindingJSON{
				Line: lineOf(f.leagueText, d.Plays), Text: say(c, "season.plays_unknown", "division", d.Name, "plays", message.Plain(d.Plays)),
			})
		}
	}
	return list
}

// finding is an error of a file with the line that it names.
func finding(c *api.Call, err error) fileFindingJSON {
	say := message.Of(err)
	found := fileFindingJSON{Mistake: true, Text: c.Words.Text(say.Key, say.Args)}
	if say.Key == "file.at" || say.Key == "file.line" {
		found.Line, _ = strconv.Atoi(say.Args.Get("line")) // of no line in particular, where it is none
	}
	return found
}

// lineOf is the line on which a text stands between quotes, or 0.
func lineOf(file []byte, text string) int {
	before, _, has := strings.Cut(string(file), strconv.Quote(text))
	if !has {
		return 0
	}
	return strings.Count(before, "\n") + 1
}

// keepSchedule reads a schedule that is sent and keeps it.
func (s *Service) keepSchedule(c *api.Call) (keptScheduleJSON, error) {
	text, err := c.Body()
	if err != nil {
		return keptScheduleJSON{}, err
	}
	s.changing.Lock()
	defer s.changing.Unlock()
	f, err := s.ready()
	if err != nil {
		return keptScheduleJSON{}, err
	}
	games, err := schedule.Read(text, *f.league)
	if err != nil {
		return keptScheduleJSON{Unplaced: []string{}, Findings: []fileFindingJSON{finding(c, err)}, Mark: mark(f.scheduleText)}, nil
	}
	return s.keepGames(f, games)
}

// makeSchedule makes a schedule and keeps it.
func (s *Service) makeSchedule(c *api.Call, in makeScheduleJSON) (keptScheduleJSON, error) {
	s.changing.Lock()
	defer s.changing.Unlock()
	f, err := s.ready()
	if err != nil {
		return keptScheduleJSON{}, err
	}
	if f.scheduleText != nil && !in.Replace {
		return keptScheduleJSON{}, api.NewNo(api.StatusConflict, api.Refused, "season.schedule_there")
	}
	taken, err := s.taken(c, f)
	if err != nil {
		return keptScheduleJSON{}, err
	}
	plan, err := schedule.Make(*f.league, schedule.Settings{Seed: in.Seed, Taken: taken})
	if err != nil {
		return keptScheduleJSON{}, refuse(err)
	}
	out, err := s.keepGames(f, plan.Games)
	out.Cost, out.Bound = &plan.Cost, &plan.Bound
	return out, err
}

// taken are ids that no game of a new schedule gets: those of the schedule in whose place
// it comes, and those under which games were opened. What people said about a duty, and
// what was played, stands under such an id.
func (s *Service) taken(c *api.Call, f files) ([]string, error) {
	opened, err := s.opened(c)
	if err != nil {
		return nil, err
	}
	taken := slices.Clone(f.taken)
	for _, g := range f.games {
		taken = append(taken, g.ID)
	}
	return append(taken, slices.Sorted(maps.Keys(opened))...), nil
}

// keepGames writes a schedule.
func (s *Service) keepGames(f files, games []schedule.Game) (keptScheduleJSON, error) {
	out := keptScheduleJSON{Games: len(games), Unplaced: []string{}, Findings: []fileFindingJSON{}, Mark: mark(f.scheduleText)}
	for _, g := range games {
		if g.Place == nil && g.State == schedule.ToBeConfirmed {
			out.Unplaced = append(out.Unplaced, g.ID)
		}
	}
	kept := s.keeper(f)
	text, err := schedule.Keep(*f.league, games)
	if err == nil && f.before != "" {
		err = kept.KeepScheduleBefore(f.scheduleLain)
		if err == nil && len(f.decisionsText) > 0 {
			if err = kept.KeepDecisionsBefore(f.decisionsText); err == nil {
				err = kept.KeepDecisions([]byte{})
			}
		}
	}
	if err == nil {
		err = kept.KeepSchedule(text)
	}
	if err != nil {
		return out, s.notKept("the schedule", err)
	}
	out.Kept, out.Mark = true, mark(text)
	return out, nil
}

// refuse says why a pure package refuses something.
func refuse(err error) *api.No { return api.Refuse("season.refused", "why", message.Inside(err)) }
