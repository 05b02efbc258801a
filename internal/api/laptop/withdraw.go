package laptop

import (
	"context"

	"whistlestop/internal/api"
	"whistlestop/internal/bench"
)

// Withdrawal is where a person is named, or was until the name was taken out.
type Withdrawal struct {
	Games   []bench.Taken `json:"games"`
	Teams   []string      `json:"teams"`   // of the team book that have the person
	Devices int           `json:"devices"` // seats whose device has the name
	Waiting []string      `json:"waiting"` // copy folders that are not there: they follow when they are seen
	Left    []string      `json:"left"`    // files in which the name still stands: people have to change them
	Done    bool          `json:"done"`    // it was taken out
}

// Nowhere reports whether the person is not named.
func (w Withdrawal) Nowhere() bool { return len(w.Games)+len(w.Teams)+w.Devices == 0 }

// Withdrawals takes names out of everything that is kept.
type Withdrawals interface {
	Withdraw(ctx context.Context, name string, act bool) (Withdrawal, error)
}

// withdrawJSON names a person.
type withdrawJSON struct {
	Name string `json:"name"`
	Act  bool   `json:"act"` // false: only look where the name stands
}

func (s *Service) withdrawName(c *api.Call, in withdrawJSON) (Withdrawal, error) {
	if s.Withdrawals == nil {
		return Withdrawal{}, api.NotThere("web.no_api")
	}
	return s.Withdrawals.Withdraw(c, in.Name, in.Act)
}
