package laptop

import (
	"context"
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/seats"
)

// PollFor is how long a device's question for the bench's decision is held.
const PollFor = 25 * time.Second

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

// Know fills in which seat the caller is, by the token that it shows, and returns its
// session; nil: it is none.
func (s *Service) Know(c *api.Caller) *seats.Session {
	session, info, known := s.Seats.Session(c.Token)
	if !known {
		return nil
	}
	c.ID, c.Seat, c.Side, c.Game, c.Device, c.LooksOn = info.ID, info.Seat, info.Side, info.Game, info.Device, info.LooksOn
	return session
}

func (s *Service) invite(c *api.Call, in offerJSON) (newInviteJSON, error) {
	if _, err := s.Bench.State(c, c.In()); err != nil {
		return newInviteJSON{}, err
	}
	offer, err := s.Seats.Invite(c.In(), seats.Role{Seat: in.Seat, Side: in.Side})
	if err != nil {
		return newInviteJSON{}, s.seatsSay(err)
	}
	base, shared := c.Base, false
	if s.Reach != nil {
		if address, reached := s.Reach(); reached {
			base, shared = address, true
		}
	}
	// The token stands after the #, so that no server and no log ever gets it.
	link := base + "/join#" + offer.Token
	drawing, err := s.QR(link)
	if err != nil {
		return newInviteJSON{}, err
	}
	made := newInviteJSON{
		ID: offer.ID, Seat: offer.Seat, Side: offer.Side, Code: offer.Code, Link: link, QR: drawing,
		Expires: offer.Expires,
	}
	switch {
	case !shared:
		made.Caution = c.Words.Text("web.invite_unreachable", nil)
	case strings.HasPrefix(base, "http:"):
		made.Caution = c.Words.Text("web.invite_plain", nil)
	}
	return made, nil
}

func (s *Service) withdraw(c *api.Call) (seats.List, error) {
	return s.done(c, s.Seats.Withdraw(c.In(), c.Part("invite")))
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

func (s *Service) join(c *api.Call, in joinJSON) (askedJSON, error) {
	var asked seats.Asked
	var err error
	if in.Token != "" {
		asked, err = s.Seats.JoinByToken(in.Token, in.Device, c.Address)
	} else {
		asked, err = s.Seats.JoinByCode(in.Code, in.Device, c.Address)
	}
	if err != nil {
		s.Logger.Warn("a device was not let in", "from", c.Address, "error", err)
		return askedJSON{}, s.seatsSay(err)
	}
	s.Logger.Info("a device asks to be a seat", "from", c.Address, "game", asked.Game, "seat", asked.Seat)
	return askedJSON{
		Request: asked.ID, Secret: asked.Secret, Seat: asked.Seat, Side: asked.Side, Game: asked.Game, Check: asked.Check,
	}, nil
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
func (s *Service) poll(c *api.Call) (any, error) {
	var in requestSecretJSON
	if err := c.Read(&in); err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(c, PollFor)
	defer cancel()
	paired, err := s.Seats.Poll(ctx, c.Part("request"), in.Secret)
	if errors.Is(err, seats.ErrWaiting) {
		c.Status = api.StatusWaits
		return struct{}{}, nil
	}
	if err != nil && !errors.Is(err, seats.ErrNotKept) {
		return nil, s.seatsSay(err)
	}
	if err != nil {
		s.Logger.Error("a seat will be forgotten when the program ends", "error", err)
	}
	c.Paired = paired.Token
	s.Logger.Info("a device is a seat", "game", paired.Game, "seat", paired.Seat, "session", paired.ID)
	return pairedJSON{Game: paired.Game, Seat: paired.Seat, Side: paired.Side, Device: paired.Device}, nil
}

// leave gives the seat of the device back that asks for it.
func (s *Service) leave(c *api.Call) (struct{}, error) {
	if !c.IsSeat() {
		return struct{}{}, api.Refuse("web.no_seat_here")
	}
	if err := s.Seats.Revoke(c.Game, c.ID); err != nil {
		return struct{}{}, s.seatsSay(err)
	}
	c.Leaves = true
	s.Logger.Info("a device gave its seat back", "game", c.Game, "seat", c.Seat, "session", c.ID)
	return struct{}{}, nil
}

func (s *Service) seats(c *api.Call) (seats.List, error) { return s.Seats.List(c.In()), nil }

// decideJSON is what the bench decides about a device: another seat than it
// asked for if one is given.
type decideJSON struct {
	Request string     `json:"request"`
	Seat    entry.Seat `json:"seat,omitempty" contract:"Seat?"`
	Side    entry.Side `json:"side,omitempty" contract:"Side?"`
}

func (s *Service) approve(c *api.Call, in decideJSON) (seats.List, error) {
	role := seats.Role{Seat: in.Seat, Side: in.Side}
	requests := s.Seats.List(c.In()).Requests
	err := s.Seats.Approve(c.In(), in.Request, role)
	if at := slices.IndexFunc(requests, func(r seats.Request) bool { return r.ID == in.Request }); at >= 0 && role.Seat == "" {
		role = requests[at].Role
	}
	if s.Duties != nil && (err == nil || errors.Is(err, seats.ErrNotKept)) {
		s.Duties.Taken(c, role.Seat, role.Side)
	}
	return s.done(c, err)
}

// requestNameJSON names a device that asks.
type requestNameJSON struct {
	Request string `json:"request"`
}

func (s *Service) refuse(c *api.Call, in requestNameJSON) (seats.List, error) {
	return s.done(c, s.Seats.Refuse(c.In(), in.Request))
}

// sessionNameJSON names a seat that is taken away.
type sessionNameJSON struct {
	Session string `json:"session"`
}

func (s *Service) revoke(c *api.Call, in sessionNameJSON) (seats.List, error) {
	return s.done(c, s.Seats.Revoke(c.In(), in.Session))
}

func (s *Service) letCount(c *api.Call, in sessionNameJSON) (seats.List, error) {
	return s.done(c, s.Seats.LetCount(c.In(), in.Session))
}

// done answers what changed the seats with the seats.
func (s *Service) done(c *api.Call, err error) (seats.List, error) {
	if err != nil {
		return seats.List{}, s.seatsSay(err)
	}
	return s.seats(c)
}

// seatsSay is what the register said against a wish.
func (s *Service) seatsSay(err error) error {
	var wait *seats.WaitError
	switch {
	case errors.As(err, &wait):
		seconds := int(math.Ceil(float64(wait.Left) / 1000))
		no := api.NewNo(api.StatusTooMany, api.TooMany, "web.code_wait", "seconds", strconv.Itoa(seconds))
		no.Again = seconds
		return no
	case errors.Is(err, seats.ErrTooSoon):
		no := api.NewNo(api.StatusTooMany, api.TooMany, "web.too_soon")
		no.Again = 5
		return no
	case errors.Is(err, seats.ErrNoCode):
		return api.NotHere("web.no_code")
	case errors.Is(err, seats.ErrRefused):
		return api.NotHere("web.seat_refused")
	case errors.Is(err, seats.ErrExpired):
		return api.NewNo(api.StatusGone, api.Missing, "web.request_over")
	case errors.Is(err, seats.ErrMissing):
		return api.NotThere("web.seat_missing")
	case errors.Is(err, seats.ErrFull):
		return api.NewNo(api.StatusConflict, api.Conflict, "web.seats_full")
	case errors.Is(err, seats.ErrRole):
		return api.Refuse("web.no_seat")
	case errors.Is(err, seats.ErrNotKept):
		s.Logger.Error("the seats were not saved", "error", err)
		return api.NotNow("web.seats_not_kept")
	}
	return err
}
