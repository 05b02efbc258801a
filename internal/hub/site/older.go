package site

import (
	"context"
	"errors"
	"maps"
	"net/http"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// older is what the association decided about ledgers of version 1, which have names
// inside their lines.
func (s *Site) older(ctx context.Context) (office.Older, error) {
	on, err := s.Store.Switches(ctx, s.Association)
	return office.OlderOf(on), err
}

// readLines reads lines of a bench. What the association decided is asked only where a line
// has a name in it, as hardly ever.
func (s *Site) readLines(ctx context.Context, game string, body []byte) ([]ledgers.Line, error) {
	lines, err := ledgers.Read(game, body, false)
	if !errors.Is(err, ledgers.ErrInside) {
		return lines, err
	}
	decided, failed := s.older(ctx)
	switch {
	case failed != nil:
		return nil, failed
	case decided == office.OlderRefused:
		return nil, err
	}
	return ledgers.Read(game, body, true)
}

// decideOlder is the association's decision about ledgers of version 1.
func (s *Site) decideOlder(w http.ResponseWriter, r *http.Request, c people.Caller) {
	what := office.Older(r.FormValue("older"))
	if !slices.Contains(office.Olders, what) {
		s.failPage(w, r, api.Refuse("hub.unreadable"))
		return
	}
	on, err := s.Store.Switches(r.Context(), s.Association)
	// What takes less is turned first: whatever fails in between, no more is taken than
	// before or than was decided.
	for _, one := range []struct {
		what office.Switch
		on   bool
	}{{office.OlderNamed, what == office.OlderWith}, {office.OlderTaken, what != office.OlderRefused}} {
		if err == nil && on[one.what] != one.on {
			err = s.Store.Turn(r.Context(), s.Association, one.what, one.on, s.note(c, "decided_older", string(what)))
		}
	}
	if err == nil && what != office.OlderWith { // what is not taken any more is not kept
		var games []string
		games, err = s.Store.ForgetOlder(r.Context(), s.Association)
		for _, game := range games {
			s.Live.Moved(game)
		}
	}
	s.done(w, r, err)
}

// olderNames are the names of players in a line of version 1, by the commitments that
// stand for them in the line that is kept in its place. The line must be the one that was
// hashed. One out of which the bench took a name says nothing any more.
func olderNames(raw []byte, at ledgers.Where, ledger []entry.Entry, gone map[string]bool) (map[string]string, error) {
	e, err := entry.ReadLine(raw)
	switch {
	case err != nil:
		return nil, err
	case e.Game != at.Game || e.Seq < 1 || e.Seq > len(ledger):
		return nil, api.Unread("hub.unreadable")
	case gone[e.ID]:
		return nil, nil
	}
	return entry.Opened(e, ledger[e.Seq-1], entry.TextPlayer)
}

// withoutPlayers are the commitments in the places of players in those entries that an
// entry says were written anew without some of their names. Which of them went is not
// known here, so all of them do.
func (s *Site) withoutPlayers(ctx context.Context, at ledgers.Where, e entry.Entry) ([]string, error) {
	anew := anewIn(e)
	if len(anew) == 0 {
		return nil, nil
	}
	ledger, err := s.ledger(ctx, at, e.Seq)
	if err != nil {
		return nil, err
	}
	found := map[string]bool{}
	for _, e := range ledger {
		if anew[e.ID] && e.Was != "" {
			e.ShownWith(func(what entry.Text, commitment string) string {
				found[commitment] = true
				return what.Gone()
			})
		}
	}
	return slices.Sorted(maps.Keys(found)), nil
}

// anewIn are the entries that an entry says were written anew without some of their texts.
func anewIn(e entry.Entry) map[string]bool {
	w, is := e.Body.(entry.Withdrawn)
	if !is {
		return nil
	}
	anew := map[string]bool{}
	for _, line := range w.Lines {
		anew[line.Entry] = true
	}
	return anew
}
