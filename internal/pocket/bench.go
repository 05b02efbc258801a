package pocket

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"io"
	"log/slog"
	"time"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
	"whistlestop/internal/folder/office"
	"whistlestop/internal/mirror"
	"whistlestop/internal/outbox"
	"whistlestop/internal/paper/csv"
	"whistlestop/internal/paper/order"
	"whistlestop/internal/proposal"
	"whistlestop/internal/restart"
	"whistlestop/record/report"
	"whistlestop/record/roster"
	"whistlestop/record/rows"
)

// Ledgers keeps the games.
type Ledgers interface {
	bench.Log
	bench.Forgets
	outbox.Ledgers
}

// Config is what a bench in a browser lies on.
type Config struct {
	Ledgers Ledgers
	Papers  File          // the key, teams, cards
	Instant File          // the newest instant that the bench knew
	Hub     outbox.Client // asks the association's hub
	Log     io.Writer
	// Print has an order printed (internal/paper/order) by a thread of its own, and returns
	// the PDF. Its error's text is a sentence as message.Read reads it where the order cannot
	// be printed, and anything else where the thread failed. It may be nil: nothing is printed.
	Print func(order []byte) ([]byte, error)
	// Face sees to it that a file with letters for the PDF is at hand when something is
	// printed, by the name that the site has for it; nil: none can be had.
	Face func(name string) error
	// Zone is how times of day are written that lie around an instant; nil: as time.Local.
	// Go's own, in a browser, is that of today, also for a day in summer.
	Zone func(at entry.Millis) *time.Location
}

// Bench is a bench in a browser. It is safe for use by many goroutines.
type Bench struct {
	live    *bench.Bench
	service *laptop.Service
	common  *api.Common
	rows    []api.Operation
	words   api.Words
	hub     *outbox.Pairing
	zone    func(at entry.Millis) *time.Location
	print   func(order []byte) ([]byte, error)
	faces   faces
	own     underway

	time  *restart.Keeper
	start restart.Found
}

// Open opens the bench. A clock that ran when the browser ended is doubted: a browser
// has no count that goes on while it is closed.
func Open(c Config) (*Bench, error) {
	logger := slog.New(slog.NewTextHandler(c.Log, nil))
	b := &Bench{words: english{}, zone: c.Zone, print: c.Print, faces: faces{fetch: c.Face}}
	if b.zone == nil {
		b.zone = func(entry.Millis) *time.Location { return time.Local }
	}
	games, err := c.Ledgers.Games(context.Background())
	if err != nil {
		return nil, err
	}
	b.time, b.start, err = restart.Open(c.Instant, restart.Read)
	if err != nil {
		logger.Warn("the newest instant that was written cannot be read", "error", err)
	}
	if len(games) == 0 {
		b.start.Doubt = false
	}
	kept := &papers{file: c.Papers}
	clock := bench.SteadyClockAt(b.start.Now)
	b.hub = outbox.Open(outbox.Config{Ledgers: c.Ledgers, Client: c.Hub, Now: clock.Now, Logger: logger}, kept.named("hub"))
	b.live = bench.New(sent{c.Ledgers, b.hub}, clock, bench.ULIDs(), logger)
	b.hub.EndNames(b.live.EndNames)
	b.live.MindSleep(bench.Asleep)
	b.live.MindRestart(bench.Restart{
		Doubt: b.start.Doubt, Kept: b.start.Kept, Counted: b.start.Counted, Since: b.start.Since, Step: b.start.Step, Running: b.start.Running,
	})
	own := office.New(kept.named("teams"), kept.named("sharing"))
	unread := func(what string, err error) {
		logger.Error("what was kept of the seats cannot be read", "paper", what, "error", err)
	}
	offered := proposal.New(proposal.Config{Declined: kept.named("declined"), Logger: logger})
	offered.Over(b.live)
	b.service = &laptop.Service{
		Bench: b.live, Logger: logger, Views: &api.Views{Run: rand.Text()},
		Seats: openSeats(kept, b.start, b.live.Now, unread),
		// The page takes the invite's secret out of its link, and draws what introduces a device.
		Reach: func() (string, bool) { return "", true }, QR: func(string) (string, error) { return "", nil },
		Cards: cards{in: kept, more: demo.Card}, Shares: own, Teams: own, Keys: key{kept.named("key")},
		Rosters: roster.File, Report: b.writeReport, Copies: b.copies, Hub: b.hub, ReadCopy: readCopy, Proposals: offered,
		Print: func(out io.Writer, c card.Card, paper string, _ api.Words) error {
			return b.printed(out, order.OfCard(c, paper))
		},
		Formats: []laptop.Format{{Name: "pdf", Media: "application/pdf"}, {Name: "csv", Media: "text/csv; charset=utf-8; header=present"},
			{Name: "json", Media: "application/json"}},
	}
	b.common, b.rows = b.service.Common(), b.service.Operations()
	return b, nil
}

// sent is ledgers that also go to a hub where there is one.
type sent struct {
	Ledgers
	hub *outbox.Pairing
}

// Append appends and, when the entries are safe here, has them sent. It does not wait
// for that.
func (s sent) Append(ctx context.Context, game string, entries []entry.Entry) error {
	err := s.Ledgers.Append(ctx, game, entries)
	if err == nil {
		s.hub.Moved(game, entries)
	}
	return err
}

// Forget takes texts out of a game; what the hub gets has none anyway.
func (s sent) Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error {
	err := s.Ledgers.Forget(ctx, game, commitments, lines, entries)
	s.hub.Moved(game, nil)
	return err
}

// HubLink is how the bench's page reaches the hub that the bench is paired with, so that
// phones can come by way of it; empty: it is paired with none.
func (b *Bench) HubLink() (hub, secret string) {
	link, _ := b.hub.Link()
	return link.Hub, link.Secret
}

// copies is how the copy at the hub stands, where there is one. Others are saved by hand
// or by the page, which knows of them.
func (b *Bench) copies() laptop.CopyReport {
	report := laptop.CopyReport{Copies: []laptop.Copy{}}
	if hub, is := b.hub.State(); is {
		report.Copies = append(report.Copies, laptop.Copy{Folder: hub.Hub, State: hub.State, Hub: true, Behind: hub.Behind, Since: hub.Since, Say: hub.Say})
	}
	return report
}

// readCopy reads a copy of games from another device. Nothing shows who wrote what
// follows a game that is here, so a person decides about that.
func readCopy(content []byte) (games []laptop.CopiedGame, torn bool, err error) {
	read, torn, err := mirror.Read(content)
	for _, g := range read {
		games = append(games, laptop.CopiedGame{Ledger: g.Ledger, Line: g.Line, Bad: g.Bad})
	}
	return games, torn, err
}

// writeReport writes the report of a ledger. Times of day are those of the device.
func (b *Bench) writeReport(out io.Writer, ledger []entry.Entry, format string, w laptop.Wanted) error {
	if format == "pdf" {
		text, err := order.LedgerText(ledger)
		if err != nil {
			return err
		}
		start := ledger[0].Wall
		_, ahead := time.UnixMilli(int64(start)).In(b.zone(start)).Zone()
		return b.printed(out, order.Order{Paper: w.Paper, Report: &order.Report{Ledger: text, Times: w.Times, Picture: w.Picture, Ahead: ahead}})
	}
	d, err := report.Build(ledger, report.Options{Times: w.Times})
	if err != nil {
		return err
	}
	if format == "csv" {
		return csv.Write(out, rows.Of(d))
	}
	to := json.NewEncoder(out)
	to.SetIndent("", "  ")
	return to.Encode(d)
}
