package bus

import (
	"context"
	"log/slog"
	"time"
)

// Poll looks for what came into other processes while the bus cannot tell.
type Poll struct {
	Away   func() bool                     // whether the bus is away
	Look   func(ctx context.Context) error // asks the database
	Every  time.Duration                   // 0: two seconds
	Logger *slog.Logger
}

// pollEvery is how late whoever follows may be while the bus is away, and pollWithin how
// long one look may take (ours).
const (
	pollEvery  = 2 * time.Second
	pollWithin = 10 * time.Second
)

// Run looks until the context ends: every so often while the bus is away, and once when
// it is back, since what came in between was told to nobody. Looks that fail are made
// again.
func (p *Poll) Run(ctx context.Context) {
	every := p.Every
	if every == 0 {
		every = pollEvery
	}
	wait := time.NewTicker(every)
	defer wait.Stop()
	for owed := false; ; {
		select {
		case <-ctx.Done():
			return
		case <-wait.C:
		}
		away := p.Away()
		if !away && !owed {
			continue
		}
		within, cancel := context.WithTimeout(ctx, pollWithin)
		err := p.Look(within)
		cancel()
		if owed = away || err != nil; err != nil && ctx.Err() == nil {
			p.Logger.Warn("it is not known what came into other hubs; it is looked at again", "error", err)
		}
	}
}
