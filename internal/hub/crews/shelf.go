package crews

import (
	"bytes"
	"context"
	"maps"
	"strings"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
)

// DeskStore is a database in which the desks of associations lie, for many processes.
type DeskStore interface {
	DeskVersion(ctx context.Context, association string) (int64, error)
	DeskPapers(ctx context.Context, association string) (map[string][]byte, int64, error)
	KeepDesk(ctx context.Context, association string, after int64, forget bool, at entry.Millis, why string, texts map[string][]byte) (int64, bool, error)
}

// seasonPrefix is before the names of the season's files among the papers.
const seasonPrefix = "season/"

// The names of those files.
const (
	leagueText      = "league"
	scheduleText    = "schedule"
	scheduleBefore  = "schedule-before"
	decisionsText   = "decisions"
	decisionsBefore = "decisions-before"
	handedIn        = "handed-in"
)

// Shelf is the papers of an association's desk, and the files of the season beside it, in a
// database that other processes change too. What was read is kept in memory for as long as
// the database says that nothing was changed. It is safe for use by many goroutines.
type Shelf struct {
	store       DeskStore
	association string
	now         func() entry.Millis
	saw         map[string][]byte // files of the season that must be these; nil: whatever they are

	mutex   sync.Mutex
	version int64
	texts   map[string][]byte // nil: not read yet
}

// NewShelf returns the papers of an association, of which there may be none yet.
func NewShelf(store DeskStore, association string, now func() entry.Millis) *Shelf {
	return &Shelf{store: store, association: association, now: now}
}

// Version is the number of the last change of papers or season.
func (s *Shelf) Version(ctx context.Context) (int64, error) {
	return s.store.DeskVersion(ctx, s.association)
}

// read is everything as it is now. Nobody writes to what it returns.
func (s *Shelf) read(ctx context.Context) (map[string][]byte, int64, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	version, err := s.store.DeskVersion(ctx, s.association)
	if err != nil {
		return nil, 0, err
	}
	if s.texts == nil || version != s.version {
		if s.texts, s.version, err = s.store.DeskPapers(ctx, s.association); err != nil {
			s.texts = nil
			return nil, 0, err
		}
	}
	return s.texts, s.version, nil
}

// Newest is the newest text of every paper, and the number of the last change.
func (s *Shelf) Newest(ctx context.Context) (map[string][]byte, int64, error) {
	all, version, err := s.read(ctx)
	papers := maps.Clone(all)
	maps.DeleteFunc(papers, func(name string, _ []byte) bool { return strings.HasPrefix(name, seasonPrefix) })
	return papers, version, err
}

// All is Newest without the number.
func (s *Shelf) All(ctx context.Context) (map[string][]byte, error) {
	all, _, err := s.Newest(ctx)
	return all, err
}

// KeepAfter keeps texts where nothing was changed after a number, and says whether it did.
func (s *Shelf) KeepAfter(ctx context.Context, after int64, forget bool, at entry.Millis, why string, texts map[string][]byte) (int64, bool, error) {
	return s.store.KeepDesk(ctx, s.association, after, forget, at, why, texts)
}

// Keep keeps texts in any case.
func (s *Shelf) Keep(ctx context.Context, at entry.Millis, why string, texts map[string][]byte) error {
	_, _, err := s.store.KeepDesk(ctx, s.association, -1, false, at, why, texts)
	return err
}

// Forget does the same and leaves no earlier version of any paper.
func (s *Shelf) Forget(ctx context.Context, at entry.Millis, why string, texts map[string][]byte) error {
	_, _, err := s.store.KeepDesk(ctx, s.association, -1, true, at, why, texts)
	return err
}

// fileWithin is how long a file of the season may take (ours): it is asked for without a
// request to end with.
const fileWithin = 10 * time.Second

func (s *Shelf) file(name string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(context.Background(), fileWithin)
	defer cancel()
	all, _, err := s.read(ctx)
	return all[seasonPrefix+name], err
}

func (s *Shelf) keepFile(name string, text []byte) error {
	ctx, cancel := context.WithTimeout(context.Background(), fileWithin)
	defer cancel()
	texts := map[string][]byte{seasonPrefix + name: text}
	if s.saw == nil {
		return s.Keep(ctx, s.now(), "season", texts)
	}
	for range keepTries { // papers of the desk change meanwhile, which is nobody's matter here
		there, version, err := s.store.DeskPapers(ctx, s.association)
		if err != nil {
			return err
		}
		for file, saw := range s.saw {
			if !bytes.Equal(there[seasonPrefix+file], saw) {
				return errChanged
			}
		}
		_, kept, err := s.KeepAfter(ctx, version, false, s.now(), "season", texts)
		if err != nil {
			return err
		}
		if kept {
			if _, is := s.saw[name]; is {
				s.saw[name] = text
			}
			return nil
		}
	}
	return errChanged
}

// keepTries is how often a file is tried to be kept while others change the desk. Ours.
const keepTries = 20

// errChanged says that another process changed the season.
var errChanged = api.NewNo(api.StatusConflict, api.Conflict, "season.changed_elsewhere")

// After returns the same papers for one change of the season, by one goroutine, that was
// worked out from these files: where another process changed one of them since, nothing is
// kept.
func (s *Shelf) After(league, schedule, decisions []byte) *Shelf {
	after := NewShelf(s.store, s.association, s.now)
	after.saw = map[string][]byte{leagueText: league, scheduleText: schedule, decisionsText: decisions}
	return after
}

// League returns the league file, or nil where none is kept.
func (s *Shelf) League() ([]byte, error) { return s.file(leagueText) }

// Schedule returns the schedule, or nil.
func (s *Shelf) Schedule() ([]byte, error) { return s.file(scheduleText) }

// Decisions returns what the league decided, or nil.
func (s *Shelf) Decisions() ([]byte, error) { return s.file(decisionsText) }

// HandedIn returns what was handed in to the league, or nil.
func (s *Shelf) HandedIn() ([]byte, error) { return s.file(handedIn) }

// KeepLeague keeps the league file; the one before stays among the versions.
func (s *Shelf) KeepLeague(text []byte) error { return s.keepFile(leagueText, text) }

// KeepSchedule keeps the schedule.
func (s *Shelf) KeepSchedule(text []byte) error { return s.keepFile(scheduleText, text) }

// KeepScheduleBefore keeps the schedule of the season before.
func (s *Shelf) KeepScheduleBefore(text []byte) error {
	return s.keepFile(scheduleBefore, text)
}

// KeepDecisions keeps what the league decided.
func (s *Shelf) KeepDecisions(text []byte) error { return s.keepFile(decisionsText, text) }

// KeepDecisionsBefore keeps what it decided in the season before.
func (s *Shelf) KeepDecisionsBefore(text []byte) error {
	return s.keepFile(decisionsBefore, text)
}

// KeepHandedIn keeps what was handed in.
func (s *Shelf) KeepHandedIn(text []byte) error { return s.keepFile(handedIn, text) }
