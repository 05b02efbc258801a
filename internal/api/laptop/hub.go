package laptop

import (
	"context"

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
