package site

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"net/http"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/season/league"
)

// namesMost is how many names of players a game may bring (ours).
const namesMost = 400

// names keeps the names of a game's players, where its division is one whose players are
// shown by name or initial. Nothing else of a person is taken, and of a player who is
// shown by initial no more is kept than that. What is not among those that are sent goes.
func (s *Site) names(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token) {
	body, ok := s.sent(w, r, at, token)
	if !ok {
		return
	}
	if token.OneGame && token.Game == "" {
		s.problem(w, r, api.NewNo(http.StatusForbidden, other, "hub.one_game.first")) // names of a game that this bench never sent
		return
	}
	naming, err := s.naming(r.Context(), at.Game)
	switch {
	case err != nil:
		s.fail(w, r, err)
		return
	case naming == league.ByNumber:
		s.problem(w, r, api.Refuse("hub.names.not_wanted"))
		return
	}
	list, err := s.readNames(r.Context(), at, body, naming)
	if err == nil {
		err = s.Store.KeepNames(r.Context(), at, list)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.Live.Moved(at.Game)
	s.head(w, r, at, token)
}

// ledger is a game as this hub keeps it, from its first line to so many.
func (s *Site) ledger(ctx context.Context, at ledgers.Where, most int) ([]entry.Entry, error) {
	lines, err := s.Store.Lines(ctx, at, 0, most)
	if err != nil {
		return nil, err
	}
	return ledgers.Entries(lines)
}

// readNames reads names as a bench sends them, a line each. A name must be the one that
// was committed to in a line of the game, in the place of a player's, and not withdrawn.
// Where the association takes the names of ledgers of version 1, a line of one stands for
// the names of the players in it.
func (s *Site) readNames(ctx context.Context, at ledgers.Where, body []byte, naming league.Shown) ([]ledgers.Name, error) {
	ledger, err := s.ledger(ctx, at, entriesMost)
	if err != nil {
		return nil, err
	}
	older, err := s.older(ctx)
	if err != nil {
		return nil, err
	}
	known := map[string]bool{}
	for _, e := range ledger {
		e.ShownWith(func(what entry.Text, commitment string) string {
			known[commitment] = known[commitment] || what == entry.TextPlayer
			return ""
		})
	}
	anew := map[string]bool{}
	for _, e := range ledger {
		for _, one := range withdrawn(e) {
			delete(known, one)
		}
		maps.Copy(anew, anewIn(e))
	}
	var list []ledgers.Name
	seen := map[string]bool{}
	for n := 1; len(body) > 0; n++ {
		raw, rest, _ := bytes.Cut(body, []byte("\n"))
		if body = rest; len(raw) == 0 {
			continue
		}
		if older == office.OlderWith && !entry.IsName(raw) {
			texts, err := olderNames(raw, at, ledger, anew)
			if err != nil {
				return nil, &ledgers.LineError{Line: n, Err: err}
			}
			for _, commitment := range slices.Sorted(maps.Keys(texts)) {
				if text := texts[commitment]; !seen[commitment] && len(text) <= 4*textMost && len(list) < namesMost {
					seen[commitment] = true
					list = append(list, ledgers.Name{Commitment: commitment, Naming: string(naming), Text: naming.Shorten(text), Older: true})
				}
			}
			continue
		}
		name, err := entry.ReadName(raw)
		switch {
		case err != nil:
			return nil, &ledgers.LineError{Line: n, Err: err}
		case name.Game != at.Game || len(name.Text) > 4*textMost || n > namesMost:
			return nil, api.Unread("hub.unreadable")
		case known[name.Commitment] && !seen[name.Commitment]:
			seen[name.Commitment] = true
			list = append(list, ledgers.Name{Commitment: name.Commitment, Naming: string(naming), Text: naming.Shorten(name.Text)})
		}
	}
	return list, nil
}

// withdrawn are the texts that an entry says were taken out.
func withdrawn(e entry.Entry) []string {
	if w, is := e.Body.(entry.Withdrawn); is {
		return w.Texts
	}
	return nil
}

// forgetNames takes out names that lines say were withdrawn. It is done before a bench is
// answered, and again whenever it sends those lines again.
func (s *Site) forgetNames(ctx context.Context, at ledgers.Where, lines []ledgers.Line) error {
	var gone []string
	for _, line := range lines {
		if !bytes.Contains(line.Bytes, []byte(entry.KindWithdrawn)) {
			continue
		}
		e, err := entry.ReadLine(line.Bytes)
		if err != nil {
			return err
		}
		players, err := s.withoutPlayers(ctx, at, e)
		if err != nil {
			return err
		}
		gone = append(append(gone, withdrawn(e)...), players...)
	}
	if len(gone) == 0 {
		return nil
	}
	return s.Store.ForgetNames(ctx, at, gone)
}

// naming is how the players of a game are named where everybody looks.
func (s *Site) naming(ctx context.Context, game string) (league.Shown, error) {
	if s.Names == nil {
		return league.ByNumber, nil
	}
	return s.Names.Naming(ctx, game)
}

// named is what a bench is told of the names of a game's players: whether they are wanted,
// and which the hub has.
func (s *Site) named(ctx context.Context, at ledgers.Where) (wanted bool, mark string, err error) {
	naming, err := s.naming(ctx, at.Game)
	if err != nil || naming == league.ByNumber {
		return false, "", err
	}
	list, err := s.Store.Names(ctx, at)
	return true, markOf(naming, list), err
}

// markOf names a set of names: another text where any other is in it.
func markOf(naming league.Shown, list []ledgers.Name) string {
	if len(list) == 0 {
		return ""
	}
	sum := sha256.New()
	texts := []string{}
	for _, one := range list {
		if one.Naming == string(naming) {
			texts = append(texts, one.Commitment)
		}
	}
	slices.Sort(texts)
	for _, one := range texts {
		sum.Write([]byte(one))
		sum.Write([]byte{'\n'})
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}
