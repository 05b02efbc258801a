package main

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"time"

	"whistlestop/internal/hub/metrics"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/site"
)

// measured is what answers for a hub: measured, where figures are to be had at an address
// of their own, to which only whoever draws graphs should come.
func (a *association) measured(ctx context.Context, p *Program, address string) (http.Handler, error) {
	if address == "" {
		return a.front, nil
	}
	sources := metrics.Sources{Followers: a.shown.followers, Outbox: a.nation.outbox()}
	sources.Forks = a.store.Forks
	sources.Rooms = func() (int, int) {
		all := a.rooms.All()
		return all.Benches, all.Phones
	}
	sources.Checked = func() (time.Time, int, int) {
		at, games, bad := a.followed.last()
		if at == 0 {
			return time.Time{}, 0, 0
		}
		return time.UnixMilli(int64(at)), games, bad
	}
	began := office.Now()
	sources.BackupAge = func(ctx context.Context) (time.Duration, error) {
		last, err := a.store.LastDone(ctx, a.id, site.BackedUp)
		return time.Duration(office.Now()-max(last, began)) * time.Millisecond, err
	}
	if a.nation != nil {
		sources.BusAway = a.nation.away
		sources.Relay = func() (int64, int64) { return a.nation.relay.Published(), a.nation.relay.Failed() }
	}
	figures := metrics.New(sources)
	listener, _, err := listenAt(ctx, address)
	if err != nil {
		return nil, err
	}
	a.figures = &http.Server{Handler: figures, ErrorLog: slog.NewLogLogger(p.logger.Handler(), slog.LevelWarn)}
	site.Limits(a.figures)
	go func() {
		if err := a.figures.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			p.logger.Error("figures are not served any more", "error", err)
		}
	}()
	p.print("hubnational.figures", "address", "http://"+listener.Addr().String()+"/")
	return figures.Measured(a.front), nil
}
