package web

import (
	"context"
	"errors"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/seats"
)

// pollFor is how long a device's question for the bench's decision is held.
const pollFor = 25 * time.Second

// offerJSON is the seat that an invite is for.
type offerJSON struct {
	Seat entry.Seat `json:"seat"`
	Side entry.Side `json:"side" contract:"Side?"`
}

// newInviteJSON is a new invite with its secrets. They are told once.
type newInviteJSON struct {
	ID      string       `json:"id"`
	Seat    entry.Seat   `json:"seat"`
	Side    entry.Side   `json:"side" contract:"Side?"`
	Code    string       `json:"code"`              // to type: BCDF-GHJK
	Link    string       `json:"link"`              // the address of the QR code
	QR      string       `json:"qr"`                // SVG
	Expires entry.Millis `json:"expires_ms"`        //
	Caution string       `json:"caution,omitempty"` // what people should know before they use it, in words
}

func (s *Server) invite(w http.ResponseWriter, r *http.Request) {
	var body offerJSON
	if !s.read(w, r, &body) {
		return
	}
	game := r.PathValue("game")
	if _, err := s.Bench.State(r.Context(), game); err != nil {
		s.fail(w, r, err)
		return
	}
	offer, err := s.Seats.Invite(game, seats.Role{Seat: body.Seat, Side: body.Side})
	if err != nil {
		s.failSeats(w, r, err)
		return
	}
	base, shared := s.reach(r)
	// The token stands after the #, so that no server and no log ever gets it.
	link := base + "/join#" + offer.Token
	drawing, err := s.QR(link)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	answer := newInviteJSON{
		ID: offer.ID, Seat: offer.Seat, Side: offer.Side, Code: offer.Code, Link: link, QR: drawing,
		Expires: offer.Expires,
	}
	switch secure, err := url.Parse(base); {
	case !shared:
		answer.Caution = s.text("web.invite_unreachable")
	case err == nil && secure.Scheme == "http":
		answer.Caution = s.text("web.invite_plain")
	}
	s.json(w, r, http.StatusCreated, answer)
}

// reach returns the address by which devices reach the bench, and whether they
// do at all.
func (s *Server) reach(r *http.Request) (base string, shared bool) {
	if s.Reach != nil {
		if base, shared = s.Reach(); shared {
			return base, true
		}
	}
	scheme := "http"
	if r.TLS != nil {
		scheme = "https"
	}
	return scheme + "://" + r.Host, false
}

func (s *Server) withdraw(w http.ResponseWriter, r *http.Request) {
	s.done(w, r, s.Seats.Withdraw(r.PathValue("game"), r.PathValue("invite")))
}

// joinJSON is a device's wish to be a seat, with what it has of an invite.
type joinJSON struct {
	Token  string `json:"token,omitempty"`
	Code   string `json:"code,omitempty"`
	Device string `json:"device"`
}

// askedJSON is a wish that the bench has to decide.
type askedJSON struct {
	Request string     `json:"request"`
	Secret  string     `json:"secret"` // to ask for the decision with
	Seat    entry.Seat `json:"seat"`
	Side    entry.Side `json:"side" contract:"Side?"`
	Game    string     `json:"game"`
	Check   string     `json:"check"` // the same two digits are shown at the bench
}

func (s *Server) join(w http.ResponseWriter, r *http.Request) {
	var body joinJSON
	if !s.read(w, r, &body) {
		return
	}
	var asked seats.Asked
	var err error
	address := from(r).address.String()
	if body.Token != "" {
		asked, err = s.Seats.JoinByToken(body.Token, body.Device, address)
	} else {
		asked, err = s.Seats.JoinByCode(body.Code, body.Device, address)
	}
	if err != nil {
		s.Logger.Warn("a device was not let in", "from", address, "error", err)
		s.failSeats(w, r, err)
		return
	}
	s.Logger.Info("a device asks to be a seat", "from", address, "game", asked.Game, "seat", asked.Seat)
	s.json(w, r, http.StatusAccepted, askedJSON{
		Request: asked.ID, Secret: asked.Secret, Seat: asked.Seat, Side: asked.Side, Game: asked.Game, Check: asked.Check,
	})
}

// requestSecretJSON asks for the decision of a wish.
type requestSecretJSON struct {
	Secret string `json:"secret"`
}

// pairedJSON is a device that became a seat.
type pairedJSON struct {
	Game   string     `json:"game"`
	Seat   entry.Seat `json:"seat"`
	Side   entry.Side `json:"side" contract:"Side?"`
	Device string     `json:"device"`
}

// poll answers when the bench has decided, or after a while that it has not.
func (s *Server) poll(w http.ResponseWriter, r *http.Request) {
	var body requestSecretJSON
	if !s.read(w, r, &body) {
		return
	}
	// The server's limits are for requests that end sooner. Where they cannot be
	// lifted the question ends with them, and is asked again.
	control := http.NewResponseController(w)
	for _, err := range []error{
		control.SetReadDeadline(time.Time{}), control.SetWriteDeadline(time.Now().Add(pollFor + writeWithin)),
	} {
		if err != nil {
			s.Logger.Debug("a long question keeps the usual limits", "error", err)
		}
	}
	ctx, cancel := context.WithTimeout(r.Context(), pollFor)
	defer cancel()
	defer context.AfterFunc(s.ending, cancel)()
	paired, err := s.Seats.Poll(ctx, r.PathValue("request"), body.Secret)
	if errors.Is(err, seats.ErrWaiting) {
		s.json(w, r, http.StatusAccepted, struct{}{})
		return
	}
	if err != nil && !errors.Is(err, seats.ErrNotKept) {
		s.failSeats(w, r, err)
		return
	}
	if err != nil {
		s.Logger.Error("a seat will be forgotten when the program ends", "error", err)
	}
	http.SetCookie(w, &http.Cookie{
		Name: seatCookie(r), Value: paired.Token, Path: "/", HttpOnly: true,
		SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	})
	s.Logger.Info("a device is a seat", "game", paired.Game, "seat", paired.Seat, "session", paired.ID)
	s.json(w, r, http.StatusOK, pairedJSON{Game: paired.Game, Seat: paired.Seat, Side: paired.Side, Device: paired.Device})
}

// leave gives the seat of the device back that asks for it.
func (s *Server) leave(w http.ResponseWriter, r *http.Request) {
	who := from(r)
	if who.session == nil {
		s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.text("web.no_seat_here"))
		return
	}
	if err := s.Seats.Revoke(who.info.Game, who.info.ID); err != nil {
		s.failSeats(w, r, err)
		return
	}
	http.SetCookie(w, &http.Cookie{
		Name: seatCookie(r), Path: "/", MaxAge: -1, HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	})
	s.Logger.Info("a device gave its seat back", "game", who.info.Game, "seat", who.info.Seat, "session", who.info.ID)
	s.json(w, r, http.StatusOK, struct{}{})
}

func (s *Server) seats(w http.ResponseWriter, r *http.Request) {
	s.json(w, r, http.StatusOK, s.Seats.List(r.PathValue("game")))
}

// decideJSON is what the bench decides about a device: another seat than it
// asked for if one is given.
type decideJSON struct {
	Request string     `json:"request"`
	Seat    entry.Seat `json:"seat,omitempty" contract:"Seat?"`
	Side    entry.Side `json:"side,omitempty" contract:"Side?"`
}

func (s *Server) approve(w http.ResponseWriter, r *http.Request) {
	var body decideJSON
	if s.read(w, r, &body) {
		s.done(w, r, s.Seats.Approve(r.PathValue("game"), body.Request, seats.Role{Seat: body.Seat, Side: body.Side}))
	}
}

// requestNameJSON names a device that asks.
type requestNameJSON struct {
	Request string `json:"request"`
}

func (s *Server) refuse(w http.ResponseWriter, r *http.Request) {
	var body requestNameJSON
	if s.read(w, r, &body) {
		s.done(w, r, s.Seats.Refuse(r.PathValue("game"), body.Request))
	}
}

// sessionNameJSON names a seat that is taken away.
type sessionNameJSON struct {
	Session string `json:"session"`
}

func (s *Server) revoke(w http.ResponseWriter, r *http.Request) {
	var body sessionNameJSON
	if s.read(w, r, &body) {
		s.done(w, r, s.Seats.Revoke(r.PathValue("game"), body.Session))
	}
}

// done answers what changed the seats with the seats.
func (s *Server) done(w http.ResponseWriter, r *http.Request, err error) {
	if err != nil {
		s.failSeats(w, r, err)
		return
	}
	s.seats(w, r)
}

// failSeats answers with what the register said against a wish.
func (s *Server) failSeats(w http.ResponseWriter, r *http.Request, err error) {
	var wait *seats.WaitError
	switch {
	case errors.As(err, &wait):
		seconds := strconv.Itoa(int(math.Ceil(float64(wait.Left) / 1000)))
		w.Header().Set("Retry-After", seconds)
		s.problem(w, r, http.StatusTooManyRequests, kindTooMany, s.text("web.code_wait", "seconds", seconds))
	case errors.Is(err, seats.ErrTooSoon):
		w.Header().Set("Retry-After", "5")
		s.problem(w, r, http.StatusTooManyRequests, kindTooMany, s.text("web.too_soon"))
	case errors.Is(err, seats.ErrNoCode):
		s.problem(w, r, http.StatusForbidden, kindNotHere, s.text("web.no_code"))
	case errors.Is(err, seats.ErrRefused):
		s.problem(w, r, http.StatusForbidden, kindNotHere, s.text("web.seat_refused"))
	case errors.Is(err, seats.ErrExpired):
		s.problem(w, r, http.StatusGone, kindMissing, s.text("web.request_over"))
	case errors.Is(err, seats.ErrMissing):
		s.problem(w, r, http.StatusNotFound, kindMissing, s.text("web.seat_missing"))
	case errors.Is(err, seats.ErrFull):
		s.problem(w, r, http.StatusConflict, kindConflict, s.text("web.seats_full"))
	case errors.Is(err, seats.ErrRole):
		s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.text("web.no_seat"))
	case errors.Is(err, seats.ErrNotKept):
		s.Logger.Error("the seats were not saved", "error", err)
		s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("web.seats_not_kept"))
	default:
		s.fail(w, r, err)
	}
}
