package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"whistlestop/internal/api"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/web/files"
	"whistlestop/internal/web/limits"
	"whistlestop/internal/web/sse"
)

const (
	// beatEvery is how often a stream says that it is alive: a client that
	// hears nothing for three seconds says that it lost the bench.
	beatEvery = 2 * time.Second
	// writeWithin is how long one message may take. A screen that does not read
	// is cut off, and comes back by itself for the newest state.
	writeWithin = 5 * time.Second
)

// stream sends the state of a game now and after every entry: each time as a
// whole, or with ?changes=yes from the second time on what changed. Only the
// newest state counts: a slow reader misses those in between, and whoever comes
// back gets the newest one whole and at once, so Last-Event-ID has nothing to say.
func (s *Server) stream(w http.ResponseWriter, r *http.Request) {
	leave, full := s.streams.Enter(from(r).counted(), browserOf(from(r), r), r.ProtoMajor >= 2)
	if full == limits.TooManyInAll {
		s.problem(w, r, api.NotNow("web.too_many_streams"))
		return
	}
	defer leave()
	if session := from(r).session; session != nil {
		defer s.Seats.Streaming(session)()
	}
	watch, err := s.Bench.Watch(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	defer watch.Close()
	out, streams := sse.New(w, files.TakesGzip(r), writeWithin)
	if !streams {
		s.problem(w, r, api.NewNo(api.StatusFaulty, api.Faulty, "web.no_streaming"))
		return
	}
	err = s.follow(r, watch, out, full)
	if err == nil {
		err = out.End()
	}
	if err != nil {
		s.Logger.Debug("a stream ended", "path", r.URL.Path, "error", err)
	}
}

// follow sends until the client, the bench or the server ends, or the bench
// takes the seat away.
func (s *Server) follow(r *http.Request, watch *bench.Watch, out *sse.Out, full limits.Full) error {
	if err := out.Begin(); err != nil {
		return err
	}
	if full == limits.TooManyTabs {
		return sendFull(out, s.words(r).Text("web.too_many_tabs", nil))
	}
	who := from(r)
	seen := api.ViewOf(who.Caller, r.PathValue("game"), r.URL.Query().Get("view"))
	changes, sent := r.URL.Query().Get("changes") == "yes", 0
	var ended <-chan struct{}
	if who.session != nil {
		ended = who.session.Ended()
	}
	var changed <-chan struct{}
	if seen.All || who.session != nil {
		seats := s.Seats.Watch(r.PathValue("game"))
		defer seats.Close()
		changed = seats.Changed()
	}
	first := seen.All // the seats follow the first state
	beat := time.NewTicker(beatEvery)
	defer beat.Stop()
	for {
		select {
		case update, more := <-watch.Updates():
			if !more {
				return nil
			}
			seq, err := s.sendState(update, seen, sent, out)
			if err != nil {
				return err
			}
			if changes {
				sent = seq
			}
			if first {
				first, err = false, s.sendSeats(r, out)
			}
			if err != nil {
				return err
			}
		case <-changed:
			if err := s.sendWhoSits(r, &who, seen, out); err != nil {
				return err
			}
		case <-beat.C:
			if err := out.JSON("beat", laptop.Beat{Now: s.Bench.Now()}); err != nil {
				return err
			}
		case <-ended:
			return out.Event("revoked", []byte("{}"))
		case <-r.Context().Done():
			return nil
		case <-s.ending.Done():
			return nil
		}
	}
}

func (s *Server) sendState(update bench.Update, v api.View, had int, out *sse.Out) (seq int, err error) {
	doc, err := s.Views.Doc(update, v)
	if err != nil {
		return 0, err
	}
	pieces, seq, err := s.frames.event(update, doc, v, had)
	if err != nil {
		return 0, err
	}
	return seq, out.Send(append(pieces, sse.Stored(fmt.Appendf(nil, ",\"run\":%q,\"now_ms\":%d}\n\n", s.Views.Run, s.Bench.Now())))...)
}

// sendWhoSits tells the bench of all its seats, and a seat that another device of
// its kind counts in its place now.
func (s *Server) sendWhoSits(r *http.Request, who *caller, seen api.View, out *sse.Out) error {
	if seen.All {
		return s.sendSeats(r, out)
	}
	now := s.Seats.Info(who.session)
	if now.LooksOn == who.LooksOn {
		return nil
	}
	who.LooksOn = now.LooksOn
	return out.JSON("session", who.Session())
}

func (s *Server) sendSeats(r *http.Request, out *sse.Out) error {
	return out.JSON("seats", s.Seats.List(r.PathValue("game")))
}

// sendFull says why nothing will come. A browser that does not know the event comes
// back once a minute.
func sendFull(out *sse.Out, why string) error {
	detail, err := json.Marshal(laptop.Full{Detail: why})
	if err != nil {
		return err
	}
	return out.Send(sse.Stored(fmt.Appendf(nil, "retry: 60000\nevent: full\ndata: %s\n\n", detail)))
}
