package laptop

import (
	"crypto/ed25519"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/record/seal"
)

// Keys has the key of the bench.
type Keys interface {
	Key() (ed25519.PrivateKey, error)
}

// closedJSON is a report that was closed.
type closedJSON struct {
	api.Snapshot
	Entry       string `json:"entry"`
	Version     int    `json:"version"`
	Fingerprint string `json:"fingerprint"`
}

// missingJSON is why something is still owed when a report is closed.
type missingJSON struct {
	Missing string `json:"missing"` // empty where nothing is
}

// seal closes the report of a game. The reason may be empty where nothing is
// missing.
func (s *Service) seal(c *api.Call, in missingJSON) (closedJSON, error) {
	key, err := s.Keys.Key()
	if err != nil {
		s.Logger.Error("read the bench's key", "error", err)
		return closedJSON{}, api.NotNow("web.no_key")
	}
	reply, sealed, err := s.Bench.Seal(c, c.In(), in.Missing, c.Poster(0), seal.Key(key))
	if err != nil {
		return closedJSON{}, err
	}
	made, _ := sealed.Body.(entry.Sealed)
	snapshot, err := c.Snapshot(reply.Update, api.Has{})
	return closedJSON{
		Snapshot: snapshot, Entry: sealed.ID, Version: made.Version, Fingerprint: seal.Fingerprint(sealed),
	}, err
}

// verify says whether the ledger of a game holds together.
func (s *Service) verify(c *api.Call) (seal.Verdict, error) {
	ledger, err := s.Bench.Ledger(c, c.In())
	if err != nil {
		return seal.Verdict{}, err
	}
	lines, err := api.Lines(ledger)
	if err != nil {
		return seal.Verdict{}, err
	}
	verdict := seal.Verify(lines)
	if s.Pins != nil {
		pins, err := s.Pins(c.Words)
		if err != nil {
			s.Logger.Error("read the keys that are known", "error", err)
		}
		verdict.Pinned(pins)
	}
	return verdict, nil
}
