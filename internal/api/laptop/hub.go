package laptop

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
)

// Hub is the association's server that the games of a bench go to by themselves.
type Hub interface {
	// Pair pairs the bench with the hub of a link, and returns what its association is
	// called. With an error nothing changed.
	Pair(ctx context.Context, link string) (association string, err error)
	// Leave pairs the bench with no hub any more.
	Leave() error
	// NamesEnd is when the names of a game's people end here, where its association decided
	// so; 0: they stay, as where somebody keeps them, or ended.
	NamesEnd(game string) (ends entry.Millis, kept, ended bool)
	// KeepNames keeps the names of a game here. It reports whether they were to end.
	KeepNames(game string) bool
}

// NamesEnd is what becomes of the names of a game's people at a bench whose hub says that
// they end.
type NamesEnd struct {
	Ends  entry.Millis `json:"ends_ms,omitempty"` // left out: they stay until somebody takes them out
	Kept  bool         `json:"kept,omitempty"`    // somebody here keeps them
	Ended bool         `json:"ended,omitempty"`   // they are not here any more
}

func (s *Service) namesEnd(c *api.Call) (NamesEnd, error) {
	if _, err := s.Bench.State(c, c.In()); err != nil { // there is such a game
		return NamesEnd{}, err
	}
	if s.Hub == nil {
		return NamesEnd{}, nil
	}
	ends, kept, ended := s.Hub.NamesEnd(c.In())
	return NamesEnd{Ends: ends, Kept: kept, Ended: ended}, nil
}

// keepNames keeps the names of a game at this bench. That is no entry: it is about what
// lies here.
func (s *Service) keepNames(c *api.Call) (NamesEnd, error) {
	if s.Hub != nil {
		s.Hub.KeepNames(c.In())
	}
	return s.namesEnd(c)
}

type hubLinkJSON struct {
	Link string `json:"link"` // as the hub's page shows it; empty: no hub any more
}

type hubJSON struct {
	Association string `json:"association,omitempty"` // empty: the bench is paired with no hub
}

// pair pairs the bench with a hub, or with none.
func (s *Service) pair(c *api.Call, wanted hubLinkJSON) (hubJSON, error) {
	if s.Hub == nil {
		return hubJSON{}, api.NotThere("web.no_api")
	}
	var paired hubJSON
	var err error
	if wanted.Link == "" {
		err = s.Hub.Leave()
	} else {
		paired.Association, err = s.Hub.Pair(c, wanted.Link)
	}
	if err != nil {
		return hubJSON{}, &api.No{Status: api.StatusRefused, Kind: api.Refused, Say: message.Of(err)}
	}
	return paired, nil
}
