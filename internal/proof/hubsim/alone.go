package hubsim

import (
	"context"
	"log/slog"
	"net/http"
	"net/http/httptest"

	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/site"
	"whistlestop/internal/hub/sqlite"
	"whistlestop/internal/proof/faults"
)

// alone is a hub in a folder.
type alone struct {
	folder string
	trace  *faults.Trace
	store  *sqlite.Store
	site   *site.Site
}

// start starts the hub on what its disk has.
func (a *alone) start(w *world) {
	a.trace = faults.Record(w.t, a.folder)
	opened, err := sqlite.Open(context.Background(), a.folder)
	if err != nil {
		w.t.Fatalf("the hub does not start: %v", err)
	}
	a.store, w.store = opened, opened
	w.desk = office.New(opened, w.id, w.time, dice{w.random})
	shown := live.New(live.Config{Store: opened, Association: w.id, Now: w.time, Logger: slog.New(slog.DiscardHandler)})
	shown.Close() // nobody follows: that has tests of its own, and folding each entry costs time
	a.site = w.shell(opened, shown)
}

func (a *alone) stop(w *world) {
	if err := a.store.Close(); err != nil {
		w.t.Error(err)
	}
	faults.Ask(a.folder, nil)
}

// cut cuts the power: what was not synced is gone, or torn, or there after all.
func (a *alone) cut(w *world) {
	calls := a.trace.Calls()
	disk := a.trace.CutOff(calls)
	switch w.random.IntN(3) {
	case 0:
		disk = a.trace.Killed(calls)
	case 1:
		disk = a.trace.Torn(calls, w.random)
	}
	a.stop(w)
	a.folder = w.t.TempDir()
	disk.Write(w.t, a.folder)
	a.start(w)
}

func (a *alone) ask(_ *world, r *http.Request) *http.Response {
	out := httptest.NewRecorder()
	a.site.ServeHTTP(out, r)
	return out.Result()
}

func (a *alone) acts(*world) store { return a.store }
func (a *alone) fails() bool       { return false }
func (a *alone) happen(*world)     {}
func (a *alone) look(*world)       {}
func (a *alone) settle(*world)     {}
