package site

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"time"

	"golang.org/x/time/rate"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/rooms"
	"whistlestop/internal/web/sse"
)

// roomRoutes are those by which phones speak with a bench that runs in a browser. The
// name of a room is a secret, and so is that of a phone in it.
func (s *Site) roomRoutes() []route {
	return []route{
		s.forBench("GET /v1/room", s.openRoom),
		s.forBench("POST /v1/room", s.tellPhones),
		s.forBench("PUT /v1/room/codes/{code}", s.nameRoom),
		s.open("GET /v1/codes/{code}", s.findRoom), // a code leads to a room, and a person lets in
		s.open("GET /v1/rooms/{room}/stream", s.enterRoom),
		s.open("POST /v1/rooms/{room}/phones/{phone}", s.sayInRoom),
		s.open("GET /seat", s.seatPage),
		s.open("GET /seat/{code}", s.seatPage),
	}
}

// How often may be asked about rooms (ours). A rink shares an address: eight phones that
// lost their bench come again within a few seconds.
const (
	openRate, openBurst   = 1, 20 // a bench opens its room, or names it by a code
	tellRate, tellBurst   = 100, 400
	enterRate, enterBurst = 5, 100
	sayRate, sayBurst     = 200, 800
	findRate, findBurst   = rate.Limit(10.0 / 60), 20 // codes, right or wrong
	saidMost              = 2 * rooms.TextsMost       // bytes of a body
	stillEvery            = 20_000                    // milliseconds after which it is looked whether a bench is still paired
)

// noRoom says why a room does not do what was asked.
func (s *Site) noRoom(w http.ResponseWriter, r *http.Request, err error) {
	switch {
	case errors.Is(err, rooms.ErrNobody):
		s.problem(w, r, api.NotThere("hub.room.nobody"))
	case errors.Is(err, rooms.ErrFull):
		no := api.NewNo(api.StatusTooMany, api.TooMany, "hub.room.full")
		no.Again = busyFor
		s.problem(w, r, no)
	case errors.Is(err, rooms.ErrBad):
		s.problem(w, r, api.Unread("hub.unreadable"))
	default:
		s.fail(w, r, err) // the bus is away
	}
}

// let reports whether one more is let, and says no where it is not.
func (s *Site) let(w http.ResponseWriter, r *http.Request, key string, perSecond rate.Limit, burst int) bool {
	let := s.limits.let(key, perSecond, burst)
	if !let {
		s.problem(w, r, tooOften())
	}
	return let
}

func benchOf(at ledgers.Where, token office.Token) rooms.Bench {
	return rooms.Bench{Association: at.Association, ID: token.ID}
}

// openRoom lets a bench hear the phones in its room, as long as it listens and is paired.
func (s *Site) openRoom(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token) {
	if !s.let(w, r, "room "+token.ID, openRate, openBurst) {
		return
	}
	room, err := s.Rooms.Open(r.Context(), benchOf(at, token), r.URL.Query().Get("salt"))
	if err != nil {
		s.noRoom(w, r, err)
		return
	}
	defer room.Close()
	looked := s.Now()
	s.hear(w, r, room, map[string]string{"room": room.Room()}, func(ctx context.Context) bool {
		if s.Now()-looked < stillEvery {
			return true
		}
		looked = s.Now()
		room.Still(ctx)
		_, err := s.Office.Known(ctx, office.Bench, bearer(r))
		return !errors.Is(err, office.ErrUnknown) // a database that is away ends no room
	})
}

// enterRoom lets a phone hear the bench of a room.
func (s *Site) enterRoom(w http.ResponseWriter, r *http.Request) {
	if !s.let(w, r, "enter "+from(r).String(), enterRate, enterBurst) {
		return
	}
	room := r.PathValue("room")
	if of, is := rooms.BenchOf(room); !is || of.Association != s.Association {
		s.noRoom(w, r, rooms.ErrNobody)
		return
	}
	phone, err := s.Rooms.Enter(r.Context(), room)
	if err != nil {
		s.noRoom(w, r, err)
		return
	}
	defer phone.Close()
	s.hear(w, r, phone, map[string]string{"phone": phone.ID()}, func(context.Context) bool { return true })
}

// side is an end of a room.
type side interface {
	News() <-chan struct{}
	Done() <-chan struct{}
	Take() []rooms.Event
	Why() string
}

// hear sends what an end of a room hears until it, the hub or the request ends, or still
// says no, which is asked at every beat.
func (s *Site) hear(w http.ResponseWriter, r *http.Request, end side, first any, still func(context.Context) bool) {
	w.Header().Set("X-Accel-Buffering", "no") // said to proxies that gather answers
	out, streams := sse.New(w, false, writeWithin)
	if !streams {
		s.problem(w, r, api.NewNo(api.StatusFaulty, api.Faulty, "web.no_streaming"))
		return
	}
	if err := s.hearing(r, end, out, first, still); err != nil {
		s.Logger.Debug("a stream of a room ended", "error", err)
	}
}

func (s *Site) hearing(r *http.Request, end side, out *sse.Out, first any, still func(context.Context) bool) error {
	if err := out.JSON("open", first); err != nil {
		return err
	}
	beat := time.NewTicker(beatEvery)
	defer beat.Stop()
	for {
		select {
		case <-end.News():
			for _, one := range end.Take() {
				if err := out.JSON(one.Kind, one); err != nil {
					return err
				}
			}
		case <-beat.C:
			if !still(r.Context()) {
				return nil
			}
			if err := out.Event("beat", []byte("{}")); err != nil {
				return err
			}
		case <-end.Done():
			return out.JSON("over", map[string]string{"why": end.Why()})
		case <-r.Context().Done():
			return nil
		case <-s.ending.Done():
			return nil
		}
	}
}

// read reads what was sent, in JSON.
func (s *Site) read(w http.ResponseWriter, r *http.Request, into any) bool {
	raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, saidMost))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.problem(w, r, api.NewNo(api.StatusTooLarge, api.TooLarge, "hub.room.large"))
	case err != nil || json.Unmarshal(raw, into) != nil:
		s.problem(w, r, api.Unread("hub.unreadable"))
	default:
		return true
	}
	return false
}

// toldJSON is what a bench says to a phone; without texts it sends it away.
type toldJSON struct {
	Phone string   `json:"phone"`
	Texts []string `json:"texts"`
}

// tellPhones takes what a bench says to phones, and answers which of them are gone.
func (s *Site) tellPhones(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token) {
	var all []toldJSON
	if !s.let(w, r, "tell "+token.ID, tellRate, tellBurst) || !s.read(w, r, &all) {
		return
	}
	if len(all) > 4*rooms.PhonesMost {
		s.problem(w, r, api.Unread("hub.unreadable"))
		return
	}
	gone := []string{}
	for _, one := range all {
		err := s.Rooms.Tell(r.Context(), benchOf(at, token), one.Phone, one.Texts)
		switch {
		case errors.Is(err, rooms.ErrNobody), errors.Is(err, rooms.ErrFull):
			gone = append(gone, one.Phone)
		case err != nil:
			s.noRoom(w, r, err)
			return
		}
	}
	s.json(w, r, map[string]any{"gone": gone})
}

// sayInRoom takes what a phone says to the bench.
func (s *Site) sayInRoom(w http.ResponseWriter, r *http.Request) {
	var texts []string
	if !s.let(w, r, "say "+from(r).String(), sayRate, sayBurst) || !s.read(w, r, &texts) {
		return
	}
	room := r.PathValue("room")
	if of, is := rooms.BenchOf(room); !is || of.Association != s.Association {
		s.noRoom(w, r, rooms.ErrNobody)
		return
	}
	if err := s.Rooms.Say(r.Context(), room, r.PathValue("phone"), texts); err != nil {
		s.noRoom(w, r, err)
		return
	}
	w.WriteHeader(http.StatusNoContent)
}

// nameRoom lets a code lead to the room of a bench, for some minutes.
func (s *Site) nameRoom(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token) {
	var wanted struct {
		Lasts entry.Millis `json:"lasts_ms"`
	}
	if !s.let(w, r, "room "+token.ID, openRate, openBurst) || !s.read(w, r, &wanted) {
		return
	}
	lasts := min(max(wanted.Lasts, 0), rooms.CodeLasts)
	if err := s.Rooms.Name(r.Context(), benchOf(at, token), r.PathValue("code"), s.Now()+lasts); err != nil {
		s.noRoom(w, r, err)
		return
	}
	w.WriteHeader(http.StatusNoContent)
}

// findRoom tells whoever has a code which room it leads to. It is one for all associations.
func (s *Site) findRoom(w http.ResponseWriter, r *http.Request) {
	if !s.let(w, r, "code "+from(r).String(), findRate, findBurst) {
		return
	}
	room, err := s.Rooms.Find(r.Context(), r.PathValue("code"))
	switch {
	case errors.Is(err, rooms.ErrNobody):
		s.problem(w, r, api.NotThere("hub.room.no_code"))
	case err != nil:
		s.noRoom(w, r, err)
	default:
		s.json(w, r, map[string]string{"room": room})
	}
}

// seatPage leads to the page on which a phone becomes a seat; whoever types the hub's
// address types no more than this.
func (s *Site) seatPage(w http.ResponseWriter, r *http.Request) {
	to := "/practice/#hub"
	if code, is := rooms.ReadCode(r.PathValue("code")); is {
		to += "/" + code
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}
