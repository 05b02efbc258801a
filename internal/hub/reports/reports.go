package reports

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"slices"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/record/report"
	"whistlestop/record/seal"
)

// State is how the report of a game stands.
type State string

// The states.
const (
	Playing  State = "playing"  // not over yet
	Unsealed State = "unsealed" // over, and nobody sealed it
	Sealed   State = "sealed"
	Amended  State = "amended"  // changed since its newest seal
	Reopened State = "reopened" // the association wants another version, which is not there yet
	Held     State = "held"     // two benches differ
	Unread   State = "unread"   // it cannot be worked out
)

// States are all of them, those first that somebody has to do something about.
var States = []State{Held, Unread, Reopened, Amended, Unsealed, Sealed, Playing}

// Store is what is read of the ledgers, and where it is kept what was reopened.
type Store interface {
	Head(ctx context.Context, at ledgers.Where) (ledgers.Head, error)
	Lines(ctx context.Context, at ledgers.Where, after, most int) ([]ledgers.Line, error)
	OlderLines(ctx context.Context, at ledgers.Where) ([]ledgers.Older, error)
	// Reopened returns how many versions of each reopened report there were when it
	// was reopened last, by game.
	Reopened(ctx context.Context, association string) (map[string]int, error)
	// Reopen notes that a further version than those is wanted of a game's report.
	Reopen(ctx context.Context, at ledgers.Where, versions int, note ledgers.Note) error
}

// Reports are those of an association. They are safe for use by many goroutines.
type Reports struct {
	Live        *live.Games
	Store       Store
	Association string
	Zone        *time.Location // of days of games that have no date of their own; nil: UTC
}

// Report is the report of a game in a list.
type Report struct {
	live.Listed
	State    State
	Day      string // YYYY-MM-DD
	Reopened int    // how many versions there were when it was reopened last; 0: it never was
}

// Filter says which reports are meant; what is empty says nothing.
type Filter struct {
	State     State
	Team      string
	From, To  string // days, YYYY-MM-DD, both with it
	Incidents bool   // only those with an incident
}

// lets reports whether a report is meant.
func (f Filter) lets(r Report) bool {
	return (f.State == "" || r.State == f.State) && (f.Team == "" || r.Title.Of(f.Team)) && (f.From == "" || r.Day >= f.From) &&
		(f.To == "" || r.Day <= f.To) && (!f.Incidents || r.Filed.Incidents > 0)
}

// List returns the reports that are meant, the newest day first.
func (s Reports) List(ctx context.Context, f Filter) ([]Report, error) {
	games, err := s.Live.List(ctx)
	if err != nil {
		return nil, err
	}
	reopened, err := s.Store.Reopened(ctx, s.Association)
	if err != nil {
		return nil, err
	}
	var list []Report
	for _, one := range games {
		if r := s.Of(one, reopened[one.Game.ID]); f.lets(r) {
			list = append(list, r)
		}
	}
	slices.SortStableFunc(list, func(a, b Report) int { return strings.Compare(b.Day, a.Day) })
	return list, nil
}

// Of is the report of a game in a list; reopened is how many versions there were when it
// was reopened last.
func (s Reports) Of(one live.Listed, reopened int) Report {
	r := Report{Listed: one, Reopened: reopened, State: stateOf(one, reopened), Day: one.Date}
	if _, err := time.Parse(time.DateOnly, r.Day); err != nil {
		zone := s.Zone
		if zone == nil {
			zone = time.UTC
		}
		began := one.Opened
		if began == 0 { // it cannot be worked out
			began = one.Game.Heard
		}
		r.Day = time.UnixMilli(int64(began)).In(zone).Format(time.DateOnly)
	}
	return r
}

func stateOf(one live.Listed, reopened int) State {
	switch {
	case one.Forked:
		return Held
	case !one.Shown:
		return Unread
	case reopened > 0 && reopened >= one.Filed.Seals:
		return Reopened
	case one.Sealed:
		return Sealed
	case one.Filed.Seals > 0:
		return Amended
	case one.Stage.Kind == entry.Over:
		return Unsealed
	}
	return Playing
}

// ErrNone says that there is no such game, or that nothing of it may be shown.
var ErrNone = errors.New("no such game")

// ErrUnsealed says that a report without a seal cannot be reopened: it is open.
var ErrUnsealed = errors.New("the report is open")

// One is a game's report whole.
type One struct {
	Report
	Entries  []entry.Entry
	Ledger   []byte // as its bench's file has it, without texts about people
	Document report.Document
	Verdict  seal.Verdict

	// Without are the numbers of entries of which this hub read the line that was hashed,
	// and took out the texts about people that were in it.
	Without []int
	touched bool // a copy is not the one that the hub put there, or a seal did not fit the line that came
}

// vouch notes of which lines this hub knows what they said, and what seals among them did.
func (o *One) vouch(places map[int]ledgers.Older, err error) {
	o.Without, o.touched = slices.Sorted(maps.Keys(places)), err != nil
	for i, found := range o.Verdict.Seals {
		if known, is := places[found.Seq]; is {
			o.Verdict.Seals[i].Fingerprint = known.Fingerprint
			o.touched = o.touched || known.Fingerprint == ""
		}
	}
}

// Read reads the report of a game, up to the last entry that everybody may rely on.
func (s Reports) Read(ctx context.Context, game string) (one One, err error) {
	list, err := s.List(ctx, Filter{})
	if err != nil {
		return one, err
	}
	at := slices.IndexFunc(list, func(r Report) bool { return r.Game.ID == game })
	if at < 0 {
		return one, ErrNone
	}
	return s.Whole(ctx, list[at])
}

// Whole is a report of a list, whole.
func (s Reports) Whole(ctx context.Context, r Report) (one One, err error) {
	one.Report = r
	where := ledgers.Where{Association: s.Association, Game: r.Game.ID}
	head, err := s.Store.Head(ctx, where)
	if err != nil {
		return one, err
	}
	if head.Shown() == 0 {
		return one, ErrNone
	}
	lines, err := s.Store.Lines(ctx, where, 0, head.Shown())
	if err != nil {
		return one, err
	}
	var file bytes.Buffer
	for _, line := range lines {
		file.Write(line.Bytes)
		file.WriteByte('\n')
	}
	one.Ledger = file.Bytes()
	one.Verdict = seal.Verify(one.Ledger)
	if len(one.Verdict.Unvouched) > 0 {
		older, err := s.Store.OlderLines(ctx, where)
		if err != nil {
			return one, err
		}
		one.vouch(ledgers.Without(lines, older))
	}
	if r.State == Unread {
		return one, nil
	}
	if one.Entries, err = ledgers.Entries(lines); err != nil {
		return one, err
	}
	one.Document, err = report.Build(one.Entries, report.Options{})
	return one, err
}

// Standing is what verifying a report came to.
type Standing string

// What it may come to.
const (
	Holds Standing = "holds" // no entry was touched, and every seal fits
	// Older: chain and seals fit, and lines of an older form of the ledger came without
	// the names in them, which stayed at the bench. Nobody vouches for those lines.
	Older   Standing = "older"
	Touched Standing = "touched"
)

// Stands is what verifying the report came to. For lines that this hub read as they were
// hashed, before it took names out of them, it vouches itself.
func (o One) Stands() Standing {
	switch {
	case o.touched:
		return Touched
	case o.Verdict.Vouched(o.Without):
		return Holds
	case o.Verdict.Around():
		return Older
	}
	return Touched
}

// Reopen notes that the association wants another version of a report: a bench corrects
// the game and seals it again. Until then its state is Reopened. Nothing is taken from
// what was sealed.
func (s Reports) Reopen(ctx context.Context, game string, note ledgers.Note) error {
	list, err := s.List(ctx, Filter{})
	if err != nil {
		return err
	}
	at := slices.IndexFunc(list, func(r Report) bool { return r.Game.ID == game })
	switch {
	case at < 0:
		return ErrNone
	case list[at].Filed.Seals == 0:
		return ErrUnsealed
	case list[at].State == Reopened:
		return nil // somebody was faster
	}
	return s.Store.Reopen(ctx, ledgers.Where{Association: s.Association, Game: game}, list[at].Filed.Seals, note)
}
