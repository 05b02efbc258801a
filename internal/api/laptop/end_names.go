package laptop

import (
	"context"

	"whistlestop/internal/api"
)

// NamesEnded is which copies have no names of people any more, and which still do.
type NamesEnded struct {
	Games   int      `json:"games"`   // that are here: their names end on all copies
	Reached []string `json:"reached"` // folders and backups that have none any more
	Waiting []string `json:"waiting"` // folders that are not there: they follow when they are seen
	Failed  []string `json:"failed"`  // backups that could not be gone through
	Phones  int      `json:"phones"`  // seats of games that are over: taken away, so that the phones delete their copies
	Kept    int      `json:"kept"`    // seats of games under way, whose phones keep the names
	Done    bool     `json:"done"`    // false: it was only looked what there is
}

// EndsNames takes the names of people out of every copy, while the bench keeps them.
type EndsNames interface {
	EndNames(ctx context.Context, act bool) (NamesEnded, error)
}

// endNamesJSON asks for the names to end on all copies.
type endNamesJSON struct {
	Act bool `json:"act"` // false: only look which copies there are
}

func (s *Service) endNames(c *api.Call, in endNamesJSON) (NamesEnded, error) {
	if s.EndsNames == nil {
		return NamesEnded{}, api.NotThere("web.no_api")
	}
	return s.EndsNames.EndNames(c, in.Act)
}
