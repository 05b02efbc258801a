package crew

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"slices"
	"sync"
	"time"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// Papers is where the desk's papers lie: texts by their names. What Keep returned
// without an error survives a power cut; Forget leaves no earlier version anywhere.
type Papers interface {
	All(ctx context.Context) (map[string][]byte, error)
	Keep(ctx context.Context, at entry.Millis, why string, texts map[string][]byte) error
	Forget(ctx context.Context, at entry.Millis, why string, texts map[string][]byte) error
}

// Season is where the league file and the schedule lie. What is not there is nil. What is
// kept survives a power cut.
type Season interface {
	League() ([]byte, error)
	Schedule() ([]byte, error)
	KeepLeague(text []byte) error
	KeepSchedule(text []byte) error
}

// Service answers what is asked of a crew's desk. It is safe for use by many
// goroutines.
type Service struct {
	Papers Papers // nil: this bench keeps no crew
	Season Season
	// Key is random bytes for the codes of the answers and the tokens of links.
	Key func(bytes int) []byte
	// Reach is the address by which other devices reach this one, and whether they do.
	Reach func() (address string, shared bool)
	// Everywhere says that the address is reached from anywhere, at any time: that of a hub.
	Everywhere bool
	// Post sends letters; nil: the coordinator sends them by hand.
	Post Post
	// Languages are those in which letters are written; nil only where there is no Post.
	Languages api.Languages
	// Print writes a sheet for the wall or for people's hands.
	Print  Print
	PDF    PDF
	Logger *slog.Logger

	mutex   sync.Mutex
	state   *state // as it was kept last; nil: not read yet
	season  season // as it was read last
	making  making // a rota that is being made
	courier courier
}

// The names of the papers.
const (
	peoplePaper = "people"
	rulesPaper  = "rules"
	rotaPaper   = "rota"
	logPaper    = "log"
	morePaper   = "more"
)

// Papered are the papers of a desk that begins with these texts.
func Papered(people, rules, rota, log []byte) map[string][]byte {
	return map[string][]byte{peoplePaper: people, rulesPaper: rules, rotaPaper: rota, logPaper: log}
}

// state is what is kept. It is never changed in place: a change is another state.
type state struct {
	people []people.Person
	rules  seating.Rules
	asked  bool // somebody said what the rules are
	rota   []seating.Duty
	log    duties.Log
	more   more
	mark   int // another one with each change
}

// more is what has no file of its own among the commands'.
type more struct {
	Locked  [][2]string `json:"locked"` // seats that stay when the rota is made anew
	Links   []link      `json:"links"`
	Outbox  []sent      `json:"outbox"`
	Wishes  []wish      `json:"wishes"`
	Results []string    `json:"results"`          // codes of practice results
	Season  string      `json:"season,omitempty"` // of the rota; empty: nobody knows
	// Moved is when the desk came here from another computer; none: it began here.
	Moved  *duties.Moment `json:"moved,omitempty"`
	Mail   mailSettings   `json:"mail"`
	NoMail []duties.Who   `json:"no_mail,omitempty"` // who wants no letters
}

// sent is a message that was sent, or that did not arrive. One that this program sends by
// mail has an id and a state.
type sent struct {
	duties.Who
	At       duties.Moment `json:"at"`
	Failed   bool          `json:"failed,omitempty"`
	ID       string        `json:"id,omitempty"`
	State    string        `json:"state,omitempty"` // empty: it was noted by hand
	To       string        `json:"to,omitempty"`    // the address
	Language string        `json:"language,omitempty"`
	Alone    bool          `json:"alone,omitempty"` // it goes by itself, with reminders only
	Tries    int           `json:"tries,omitempty"`
	Next     entry.Millis  `json:"next,omitempty"` // not to be tried before
	Said     string        `json:"said,omitempty"` // by the server
}

// wish is what somebody asked of the coordinator on their page.
type wish struct {
	duties.Who
	Kind string `json:"kind"` // forget, not_me
}

// season is the files of the season, read.
type season struct {
	leagueText, scheduleText []byte
	league                   *league.League
	games                    []schedule.Game
	zone                     *time.Location
}

// view is everything as it is at the moment of a question.
type view struct {
	state
	season
	now        duties.Moment
	everywhere bool // links work from anywhere
	mails      bool // this program sends letters
}

// look reads what is kept. The caller holds the mutex.
func (s *Service) look(c *api.Call) (view, error) {
	if s.Papers == nil {
		return view{}, api.NotThere("crew.none_kept")
	}
	if s.state == nil {
		read, err := s.read(c)
		if err != nil {
			s.Logger.Error("read the crew's papers", "error", err)
			return view{}, api.NotNow("crew.unreadable")
		}
		s.state = read
	}
	if err := s.readSeason(); err != nil {
		return view{}, err
	}
	v := view{state: *s.state, season: s.season, everywhere: s.Everywhere, mails: s.Post != nil}
	at := time.UnixMilli(int64(c.Now)).UTC()
	if s.season.zone != nil {
		at = at.In(s.season.zone)
	}
	var err error
	if v.now, err = momentOf(at); err != nil {
		return view{}, api.NotNow("crew.unreadable")
	}
	return v, nil
}

// momentOf is an instant by the clock of its zone.
func momentOf(at time.Time) (duties.Moment, error) {
	day, err := dates.Parse(at.Format(time.DateOnly))
	return duties.Moment{Day: day, Clock: dates.Clock(at.Hour()*60 + at.Minute())}, err
}

func (s *Service) read(c *api.Call) (*state, error) {
	texts, err := s.Papers.All(c)
	if err != nil {
		return nil, err
	}
	st, err := readTexts(texts)
	if err == nil && texts[logPaper] == nil {
		// The codes that are shown have to be the same after the program was started again.
		st.log = duties.Log{Key: s.Key(duties.KeyBytes)}
		var text []byte
		if text, err = st.log.Keep(); err == nil {
			err = s.Papers.Keep(c, c.Now, "key", map[string][]byte{logPaper: text})
		}
	}
	return st, err
}

// readTexts reads papers. One that is not there says nothing.
func readTexts(texts map[string][]byte) (*state, error) {
	st := &state{rules: seating.Proposed()}
	var err error
	if text := texts[rulesPaper]; text != nil {
		if st.rules, err = seating.Read(text, "crew"); err != nil {
			return nil, err
		}
		st.asked = true
	}
	if text := texts[peoplePaper]; text != nil {
		st.people, _ = people.Read(text, st.rules.Kinds())
	}
	if text := texts[rotaPaper]; text != nil {
		if st.rota, err = seating.ReadDuties(text); err != nil {
			return nil, err
		}
	}
	if text := texts[logPaper]; text != nil {
		if st.log, err = duties.Read(text); err != nil {
			return nil, err
		}
	}
	if text := texts[morePaper]; text != nil {
		err = json.Unmarshal(text, &st.more)
	}
	return st, err
}

// readSeason reads the files of the season, where they changed.
func (s *Service) readSeason() error {
	leagueText, err := s.Season.League()
	var scheduleText []byte
	if err == nil {
		scheduleText, err = s.Season.Schedule()
	}
	if err != nil {
		s.Logger.Error("read the season", "error", err)
		return api.NotNow("season.unreadable")
	}
	old := s.season
	if (old.league != nil || leagueText == nil) && bytes.Equal(old.leagueText, leagueText) && bytes.Equal(old.scheduleText, scheduleText) {
		return nil
	}
	fresh := season{leagueText: leagueText, scheduleText: scheduleText}
	if leagueText != nil {
		l, err := league.Read(leagueText, "league")
		if err == nil {
			fresh.zone, err = time.LoadLocation(l.Zone)
		}
		if err != nil {
			return api.NotNow("season.bad_league")
		}
		fresh.league = &l
		// A schedule of the season before has no games of this one.
		if _, _, before := schedule.Before(scheduleText, l); scheduleText != nil && !before {
			if fresh.games, err = schedule.Read(scheduleText, l); err != nil {
				return api.NotNow("season.bad_schedule")
			}
		}
	}
	s.season = fresh
	return nil
}

// keep makes a state the one that is kept. Names are the papers that changed. The
// caller holds the mutex.
func (s *Service) keep(c *api.Call, why string, st state, names ...string) error {
	return s.keepBy(s.Papers.Keep, c, why, st, names)
}

func (s *Service) keepBy(put func(context.Context, entry.Millis, string, map[string][]byte) error, c *api.Call, why string, st state, names []string) error {
	texts := map[string][]byte{}
	for _, name := range names {
		text, err := st.paper(name)
		if err != nil {
			return api.Refuse("crew.refused", "why", api.Plain(err))
		}
		texts[name] = text
	}
	if err := put(c, c.Now, why, texts); err != nil {
		s.state = nil // nobody knows what is on the disk: it is read again
		s.Logger.Error("keep the crew's papers", "error", err)
		return api.NotNow("crew.not_kept")
	}
	st.mark++
	s.state = &st
	return nil
}

// paper is the text of a paper.
func (st state) paper(name string) ([]byte, error) {
	switch name {
	case peoplePaper:
		return people.Write(st.people, st.rules.Kinds()), nil
	case rulesPaper:
		return st.rules.Keep()
	case rotaPaper:
		return seating.Keep(st.rota)
	case logPaper:
		return st.log.Keep()
	}
	return json.Marshal(st.more)
}

// logged is a log with more events. The slice of before is never written to.
func (st state) logged(events ...duties.Event) duties.Log {
	return duties.Log{Key: st.log.Key, Events: append(slices.Clip(st.log.Events), events...)}
}

// with runs a question under the mutex.
func with[T any](s *Service, c *api.Call, do func(view) (T, error)) (T, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	v, err := s.look(c)
	if err != nil {
		var nothing T
		return nothing, err
	}
	return do(v)
}
