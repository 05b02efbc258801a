package crew

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
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
	"whistlestop/internal/push"
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

// SharedPapers are papers that other processes change too.
type SharedPapers interface {
	Papers
	// Version is the number of the last change.
	Version(ctx context.Context) (int64, error)
	// Newest is All with the number of the last change.
	Newest(ctx context.Context) (texts map[string][]byte, version int64, err error)
	// KeepAfter is Keep, or Forget, where nothing was changed after a number. Kept says
	// whether it was; the version is that of the change.
	KeepAfter(ctx context.Context, after int64, forget bool, at entry.Millis, why string, texts map[string][]byte) (version int64, kept bool, err error)
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
	// Push sends reminders to people's devices; nil: nobody does.
	Push Pusher
	// Languages are those in which letters are written; nil only where there is neither.
	Languages api.Languages
	// Did writes a line about the caller into a log that others look at, where there is one:
	// what they take along or take out, and the id of what it is about; nil: there is none.
	Did func(c *api.Call, what, object string) error
	// Print writes a sheet for the wall or for people's hands.
	Print  Print
	PDF    PDF
	Logger *slog.Logger

	mutex   sync.Mutex
	state   *state // as it was kept last; nil: not read yet
	season  season // as it was read last
	making  making // a rota that is being made
	courier courier
	tokens  map[string]link // of links that were made since the program was started; nowhere else
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
	mark   int // another one with each change; of shared papers their version
}

// more is what has no file of its own among the commands'.
type more struct {
	Locked  [][2]string `json:"locked"` // seats that stay when the rota is made anew
	Links   []link      `json:"links"`
	Outbox  []sent      `json:"outbox"`
	Wishes  []wish      `json:"wishes"`
	Results []string    `json:"results"`          // codes of practice results
	Season  string      `json:"season,omitempty"` // of the rota; empty: nobody knows
	// Posting is which of several processes sends letters at the moment.
	Posting *posting `json:"posting,omitempty"`
	// Moved is when the desk came here from another computer; none: it began here.
	Moved  *duties.Moment `json:"moved,omitempty"`
	Gone   *gone          `json:"gone,omitempty"` // where it works now; none: here
	Mail   mailSettings   `json:"mail"`
	NoMail []duties.Who   `json:"no_mail,omitempty"` // who wants no letters
	// PushKeys sign what goes to the devices; all of them are bound to these.
	PushKeys *push.Keys `json:"push_keys,omitempty"`
	Devices  []device   `json:"devices,omitempty"`
	Swaps    []swapAsk  `json:"swaps,omitempty"` // who would change places with whom, the oldest first
	Heard    []heard    `json:"heard,omitempty"` // how often people were written to about that
	// Swapped are changes of places that somebody said yes to, of which whoever asked was
	// not told: of what they have now, with what they gave.
	Swapped []swapAsk `json:"swapped,omitempty"`
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
	Next     entry.Millis  `json:"next,omitempty"`    // not to be tried before
	Said     string        `json:"said,omitempty"`    // by the server
	Push     bool          `json:"push,omitempty"`    // it goes to the person's devices
	NoPush   bool          `json:"no_push,omitempty"` // no device took it: it goes by mail
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
	everywhere bool   // links work from anywhere
	address    string // that other devices reach this one by; empty: they do not
	mails      bool   // this program sends letters
	push       Pusher
}

// look reads what is kept. The caller holds the mutex.
func (s *Service) look(c *api.Call) (view, error) {
	if s.Papers == nil {
		return view{}, api.NotThere("crew.none_kept")
	}
	if shared, is := s.Papers.(SharedPapers); is && s.state != nil {
		version, err := shared.Version(c)
		if err != nil {
			s.Logger.Error("read the crew's papers", "error", err)
			return view{}, api.NotNow("crew.unreadable")
		}
		if int(version) != s.state.mark {
			s.state = nil // another process changed something
		}
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
	v := view{state: *s.state, season: s.season, everywhere: s.Everywhere, address: s.lan(), mails: s.Post != nil, push: s.Push}
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
	var texts map[string][]byte
	var version int64
	var err error
	shared, is := s.Papers.(SharedPapers)
	if is {
		texts, version, err = shared.Newest(c)
	} else {
		texts, err = s.Papers.All(c)
	}
	if err != nil {
		return nil, err
	}
	st, err := readTexts(texts)
	if err != nil {
		return nil, err
	}
	st.mark = int(version)
	if texts[logPaper] == nil {
		// The codes that are shown have to be the same after the program was started again.
		st.log = duties.Log{Key: s.Key(duties.KeyBytes)}
		var text []byte
		if text, err = st.log.Keep(); err != nil {
			return nil, err
		}
		kept := true
		if is {
			version, kept, err = shared.KeepAfter(c, version, false, c.Now, "key", map[string][]byte{logPaper: text})
			st.mark = int(version)
		} else {
			err = s.Papers.Keep(c, c.Now, "key", map[string][]byte{logPaper: text})
		}
		if err == nil && !kept {
			return s.read(c) // another process made it
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
		if g := st.more.Gone; g != nil && readAddress(g.Address) != g.Address {
			st.more.Gone = nil // nobody wrote that here, and pages have links to it
		}
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
	return s.keepBy(false, c, why, st, names)
}

// keepForgetting is keep of every paper, and leaves no earlier version of any.
func (s *Service) keepForgetting(c *api.Call, why string, st state) error {
	return s.keepBy(true, c, why, st, papersAll)
}

// errMoved says that another process changed the papers: what was asked is worked out anew.
var errMoved = errors.New("moved")

func (s *Service) keepBy(forget bool, c *api.Call, why string, st state, names []string) error {
	texts := map[string][]byte{}
	for _, name := range names {
		text, err := st.paper(name)
		if err != nil {
			return api.Refuse("crew.refused", "why", api.Plain(err))
		}
		texts[name] = text
	}
	var err error
	kept, version := true, int64(st.mark+1)
	if shared, is := s.Papers.(SharedPapers); is {
		version, kept, err = shared.KeepAfter(c, int64(st.mark), forget, c.Now, why, texts)
	} else if forget {
		err = s.Papers.Forget(c, c.Now, why, texts)
	} else {
		err = s.Papers.Keep(c, c.Now, why, texts)
	}
	if !kept && err == nil {
		s.state = nil
		return errMoved
	}
	if err != nil {
		s.state = nil // nobody knows what is on the disk: it is read again
		s.Logger.Error("keep the crew's papers", "error", err)
		return api.NotNow("crew.not_kept")
	}
	st.mark = int(version)
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

// did writes a line into the log, before people's data is handed out or taken out. Without
// the line neither happens.
func (s *Service) did(c *api.Call, what, object string) error {
	if s.Did == nil {
		return nil
	}
	if err := s.Did(c, what, object); err != nil {
		s.Logger.Error("write what somebody does with people's data into the log", "what", what, "error", err)
		return api.NotNow("crew.not_noted")
	}
	return nil
}

// What the log says of people's data.
const (
	didExport   = "crew_exported"         // the whole desk, or one of its files
	didTakeOver = "crew_taken_over"       // a desk of another computer
	didCopy     = "crew_person_exported"  // everything about somebody
	didForget   = "crew_person_deleted"   // somebody
	didReplace  = "crew_people_replaced"  // the list of people, by another one
	didContact  = "crew_contacts_deleted" // ways to reach those who did not say that they stay
)

// with runs a question under the mutex.
func with[T any](s *Service, c *api.Call, do func(view) (T, error)) (T, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for try := 1; ; try++ {
		v, err := s.look(c)
		if err != nil {
			var nothing T
			return nothing, err
		}
		out, err := do(v)
		if !errors.Is(err, errMoved) {
			return out, err
		}
		if try == movedMost {
			return out, api.NotNow("crew.not_kept")
		}
	}
}

// movedMost is how often a question is worked out anew because another process was faster.
// Ours.
const movedMost = 10
