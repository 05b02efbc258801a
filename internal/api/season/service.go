package season

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"log/slog"
	"slices"
	"sync"
	"time"

	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// Kept is where the league file and the schedule lie. What is not there is nil.
type Kept interface {
	League() ([]byte, error)
	Schedule() ([]byte, error)
	Decisions() ([]byte, error)
	KeepLeague(text []byte) error
	KeepSchedule(text []byte) error
	// KeepScheduleBefore keeps that of the season before beside it.
	KeepScheduleBefore(text []byte) error
	KeepDecisions(text []byte) error
	// KeepDecisionsBefore keeps what the league decided in the season before.
	KeepDecisionsBefore(text []byte) error
	HandedIn() ([]byte, error)
	KeepHandedIn(text []byte) error
}

// Live is the games of the bench.
type Live interface {
	Games(ctx context.Context) ([]bench.Title, error)
	Ledger(ctx context.Context, game string) ([]entry.Entry, error)
	Open(ctx context.Context, o bench.Opening) (bench.Reply, error)
	Post(ctx context.Context, game string, drafts []entry.Entry) (bench.Reply, error)
}

// Service answers what is asked of a bench's season. It is safe for use by many
// goroutines.
type Service struct {
	Kept Kept // nil: this bench keeps no season
	// After is the same place where other processes change it too: what is kept there is
	// refused, with an api.No, once any of these files is another one than whoever asks has
	// read. Nil: there is no other process.
	After func(league, schedule, decisions []byte) Kept
	Live  Live
	// Teams are the last rosters of the teams that played here; nil: none are kept.
	Teams func() ([]entry.Team, error)
	// KeepTeam keeps a roster for the team's next game; nil: none are kept.
	KeepTeam func(entry.Team) error
	Formats  []Format    // in which the season can be had as a file
	Write    WriteTables // writes it; nil: nobody does
	// ReadGames reads the games of a file from elsewhere by the end of its name.
	ReadGames func(name string, text []byte, l league.League) (schedule.Incoming, error)
	// Duties says what a change of a game does to the people on duty; nil: nobody knows of
	// duties here. Games are the schedule as it is.
	Duties func(c *api.Call, games []schedule.Game, changed schedule.Game) ([]string, error)
	// Sealed says that nothing counts but what is sealed, whatever the league file says,
	// and that games which are on are not looked at: what a hub shows.
	Sealed bool
	Logger *slog.Logger

	changing sync.Mutex // whoever writes a file has read it just before
	mutex    sync.Mutex
	lain     files // as they lay there last, not read
	read     files // the same, read
	adding   sync.Mutex
	sum      added
}

// The names of the files in what is said about them.
const (
	leagueFile    = "league.toml"
	decisionsFile = "decisions" + ".toml" // no key of a message
)

// files are the files, read. What cannot be read has its reason.
type files struct {
	leagueText, scheduleText, decisionsText []byte
	scheduleLain                            []byte // the schedule that lies there, also one of another season

	league    *league.League // nil: there is none that can be used
	games     []schedule.Game
	decisions league.Decisions
	zone      *time.Location

	leagueBad, scheduleBad, decisionsBad error

	// The schedule that lies there is of another season of the league: this one has none
	// yet. It stays beside the new one when that is kept.
	before string   // that season; empty: it is of this one, or there is none
	taken  []string // ids of its games
}

// mark is a name for a version of a file: another one where anything of it differs.
func mark(text []byte) string {
	if text == nil {
		return ""
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// files reads the files, where they changed since they were read last.
func (s *Service) files() (files, error) {
	if s.Kept == nil {
		return files{}, api.NotThere("season.none_kept")
	}
	leagueText, err := s.Kept.League()
	var scheduleText []byte
	if err == nil {
		scheduleText, err = s.Kept.Schedule()
	}
	var decisionsText []byte
	if err == nil {
		decisionsText, err = s.Kept.Decisions()
	}
	if err != nil {
		s.Logger.Error("read the season", "error", err)
		return files{}, api.NotNow("season.unreadable")
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if kept := (files{leagueText: leagueText, scheduleText: scheduleText, decisionsText: decisionsText}); !s.lain.same(kept) {
		s.lain, s.read = kept, parse(leagueText, scheduleText, decisionsText)
	}
	return s.read, nil
}

// parse reads the files.
func parse(leagueText, scheduleText, decisionsText []byte) files {
	f := files{leagueText: leagueText, scheduleText: scheduleText, decisionsText: decisionsText, scheduleLain: scheduleText}
	if leagueText == nil {
		return f
	}
	l, err := league.Read(leagueText, leagueFile)
	if err == nil {
		f.zone, err = zone(l)
	}
	if err != nil {
		f.leagueBad = err
		return f
	}
	f.league = &l
	if before, taken, is := schedule.Before(scheduleText, l); is {
		f.before, f.taken, f.scheduleText = before, taken, nil
	} else if scheduleText != nil {
		f.games, f.scheduleBad = schedule.Read(scheduleText, l)
	}
	// What was decided in the season before is about its games and people.
	if decisionsText != nil && f.before == "" {
		f.decisions, f.decisionsBad = league.ReadDecisions(decisionsText, decisionsFile, l)
	}
	return f
}

// keeper is where what was worked out from some files is kept.
func (s *Service) keeper(f files) Kept {
	if s.After == nil {
		return s.Kept
	}
	return s.After(f.leagueText, f.scheduleLain, f.decisionsText)
}

// notKept is what whoever asked is told where something was not kept.
func (s *Service) notKept(what string, err error) error {
	var no *api.No
	if errors.As(err, &no) {
		return no // somebody else was faster
	}
	s.Logger.Error("keep the season", "what", what, "error", err)
	return api.NotNow("season.not_kept")
}

// zone is that of the rinks' clocks.
func zone(l league.League) (*time.Location, error) {
	at, err := time.LoadLocation(l.Zone)
	if err != nil {
		return nil, api.Refuse("season.zone", "zone", api.Clip(l.Zone))
	}
	return at, nil
}

// ready is the files of a season with a league that can be used.
func (s *Service) ready() (files, error) {
	f, err := s.files()
	switch {
	case err != nil:
		return f, err
	case f.league == nil && f.leagueText == nil:
		return f, api.NotThere("season.no_league")
	case f.league == nil:
		return f, api.NotNow("season.bad_league")
	}
	return f, nil
}

// planned is the same with a schedule.
func (s *Service) planned() (files, error) {
	f, err := s.ready()
	switch {
	case err != nil:
		return f, err
	case f.scheduleText == nil:
		return f, api.NotThere("season.no_schedule")
	case f.scheduleBad != nil:
		return f, api.NotNow("season.bad_schedule")
	}
	return f, nil
}

// today is the rinks' day at an instant.
func (f files) today(now entry.Millis) dates.Day {
	at := time.UnixMilli(int64(now)).In(f.zone)
	day, err := dates.Parse(at.Format(time.DateOnly))
	if err != nil {
		return 0 // a year of five digits
	}
	return day
}

// game is the place of a game in the schedule, or -1.
func (f files) game(id string) int {
	return slices.IndexFunc(f.games, func(g schedule.Game) bool { return g.ID == id })
}

// division is a division of the league by its id.
func (f files) division(id string) (league.Division, bool) { return f.league.Division(id) }

// team is the name of a team by its id.
func (f files) team(id string) string { return f.league.TeamName(id) }

// rink is the name of a rink by its id.
func (f files) rink(id string) string { return f.league.RinkName(id) }
