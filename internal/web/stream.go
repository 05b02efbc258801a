package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"whistlestop/internal/bench"
)

const (
	// beatEvery is how often a stream says that it is alive: a client that
	// hears nothing for three seconds says that it lost the bench.
	beatEvery = 2 * time.Second
	// writeWithin is how long one message may take. A screen that does not read
	// is cut off, and comes back by itself for the newest state.
	writeWithin = 5 * time.Second
	// streamsOfOne is how many streams one browser may have. Browsers keep six
	// connections to an address, all tabs together; one is left for the posts.
	streamsOfOne = 5
)

// stream sends the state of a game now and after every entry. Only the newest
// state counts: a slow reader misses those in between, and whoever comes back
// gets the newest one at once, so Last-Event-ID has nothing to say.
func (s *Server) stream(w http.ResponseWriter, r *http.Request) {
	select {
	case s.streams <- struct{}{}:
		defer func() { <-s.streams }()
	default:
		s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("web.too_many_streams"))
		return
	}
	if session := from(r).session; session != nil {
		closed, ok := s.Seats.Streaming(session, streamsOfOne)
		if !ok {
			s.problem(w, r, http.StatusTooManyRequests, kindTooMany, s.text("web.too_many_tabs"))
			return
		}
		defer closed()
	}
	watch, err := s.Bench.Watch(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	defer watch.Close()
	out := &events{response: w, control: http.NewResponseController(w)}
	// The server's limits are for requests that end.
	if err := out.control.SetReadDeadline(time.Time{}); err != nil {
		s.problem(w, r, http.StatusInternalServerError, kindFaulty, s.text("web.no_streaming"))
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(http.StatusOK)
	if err := s.follow(r, watch, out); err != nil {
		s.Logger.Debug("a stream ended", "path", r.URL.Path, "error", err)
	}
}

// follow sends until the client, the bench or the server ends, or the bench
// takes the seat away.
func (s *Server) follow(r *http.Request, watch *bench.Watch, out *events) error {
	who := from(r)
	out.all = seesAll(r)
	var ended <-chan struct{}
	if who.session != nil {
		ended = who.session.Ended()
	}
	var changed <-chan struct{}
	if who.here && out.all {
		seats := s.Seats.Watch(r.PathValue("game"))
		defer seats.Close()
		changed = seats.Changed()
	}
	first := changed != nil // the seats follow the first state
	beat := time.NewTicker(beatEvery)
	defer beat.Stop()
	for {
		select {
		case update, more := <-watch.Updates():
			if !more {
				return nil
			}
			if err := out.state(update, int64(s.Bench.Now())); err != nil {
				return err
			}
			if first {
				first = false
				if err := s.sendSeats(r, out); err != nil {
					return err
				}
			}
		case <-changed:
			if err := s.sendSeats(r, out); err != nil {
				return err
			}
		case <-beat.C:
			if err := out.beat(int64(s.Bench.Now())); err != nil {
				return err
			}
		case <-ended:
			return out.event("revoked", []byte("{}"))
		case <-r.Context().Done():
			return nil
		case <-s.ending.Done():
			return nil
		}
	}
}

func (s *Server) sendSeats(r *http.Request, out *events) error {
	list, err := s.seatsEvent(r.PathValue("game"))
	if err != nil {
		return err
	}
	return out.event("seats", list)
}

// events writes server-sent events, each in one piece and within its time.
type events struct {
	response http.ResponseWriter
	control  *http.ResponseController
	all      bool // the whole game, and not what anybody may see
	buffer   bytes.Buffer
}

func (e *events) state(update bench.Update, now int64) error {
	state := update.JSON
	if !e.all {
		var err error
		if state, err = json.Marshal(Public(update.State)); err != nil {
			return err
		}
	}
	e.buffer.Reset()
	fmt.Fprintf(&e.buffer, "event: state\nid: %d\ndata: {\"state\":", update.State.Seq)
	e.buffer.Write(state)
	if e.all && len(update.Card) > 0 {
		e.buffer.WriteString(",\"card\":")
		e.buffer.Write(update.Card)
	}
	fmt.Fprintf(&e.buffer, ",\"now_ms\":%d}\n\n", now)
	return e.send()
}

func (e *events) beat(now int64) error {
	e.buffer.Reset()
	fmt.Fprintf(&e.buffer, "event: beat\ndata: {\"now_ms\":%d}\n\n", now)
	return e.send()
}

// event sends an event whose data is one line of JSON.
func (e *events) event(name string, data []byte) error {
	e.buffer.Reset()
	fmt.Fprintf(&e.buffer, "event: %s\ndata: %s\n\n", name, data)
	return e.send()
}

func (e *events) send() error {
	if err := e.control.SetWriteDeadline(time.Now().Add(writeWithin)); err != nil {
		return err
	}
	if _, err := e.response.Write(e.buffer.Bytes()); err != nil {
		return err
	}
	return e.control.Flush()
}
