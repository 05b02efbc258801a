package api

import (
	"encoding/json"
	"time"

	"whistlestop/internal/bench"
)

// Operation is one thing that can be asked of a bench: a row of the table from
// which the shells route, the API is described, and who may ask is tried.
type Operation struct {
	Method, Path string
	Who          Access
	Reading      bench.Reading // what a seat must be allowed to read; empty: every seat may
	About        string
	Query        []Parameter
	Handler
	TakesMedia string         // of what travels to the bench; empty: JSON
	WrongMedia string         // key of what is said of another media type; empty: as of what is no JSON
	Most       int            // bytes that may travel to the bench; 0: as many as the shell takes as a rule
	TooLarge   string         // key of what is said of more, with the most in megabytes
	Status     int            // of the usual answer; 0: StatusOK
	Also       map[int]string // further answers that are no problem
	Events     map[string]any // of a stream: the data of each event
	Waits      time.Duration  // for a person: how long the answer may take
	Open       bool           // to pages of other origins, which are guests whoever sits there
	Practice   bool           // only a practice has it
	Game       bool           // there is no answer without a game, or a practice under way
}

// Parameter is one that may stand in the query.
type Parameter struct {
	Name, About string
	Values      []string // the set, where it is closed
}

// Handler is how an operation is answered, and what it takes and gives: values of
// the types that travel as JSON, or the media type of what else does. A handler
// that does nothing is one that each shell has to bring by itself: a stream.
type Handler struct {
	Takes, Gives any
	GivesMedia   string
	Do           func(*Call) (any, error)
}

// Ask answers a question that brings nothing, or something that is no JSON.
func Ask[Out any](do func(*Call) (Out, error)) Handler {
	var gives Out
	return Handler{Gives: gives, Do: func(c *Call) (any, error) { return do(c) }}
}

// Take answers a question that brings JSON of a type.
func Take[In, Out any](do func(*Call, In) (Out, error)) Handler {
	var takes In
	var gives Out
	return Handler{Takes: takes, Gives: gives, Do: func(c *Call) (any, error) {
		var in In
		if err := c.Read(&in); err != nil {
			return nil, err
		}
		return do(c, in)
	}}
}

// Hand answers with a file.
func Hand(media string, do func(*Call) (File, error)) Handler {
	return Handler{GivesMedia: media, Do: func(c *Call) (any, error) { return do(c) }}
}

// Taking is the handler with what it reads by itself.
func (h Handler) Taking(takes any) Handler {
	h.Takes = takes
	return h
}

// Run answers a call that was admitted: with a file, or with JSON.
func (o *Operation) Run(c *Call) (status int, file File, err error) {
	value, err := o.Do(c)
	if err != nil {
		return 0, File{}, err
	}
	if status = c.Status; status == 0 {
		status = o.Usual()
	}
	if file, is := value.(File); is {
		return status, file, nil
	}
	raw, err := json.Marshal(value)
	return status, File{Raw: raw, Media: "application/json"}, err
}

// Usual is the status of the usual answer.
func (o *Operation) Usual() int {
	if o.Status == 0 {
		return StatusOK
	}
	return o.Status
}

// Access is who may ask.
type Access int

// Who may ask.
const (
	Anyone    Access = iota
	GameSeats        // the bench, and the seats of the game that is in the path
	AnySeat          // the bench, and every seat
	BenchOnly
)

// Admit refuses whom the operation is not for.
func (o *Operation) Admit(c *Call) error {
	allowed := o.Who == Anyone || c.Here
	switch o.Who {
	case Anyone, BenchOnly:
	case GameSeats:
		allowed = c.Reads(c.In())
	case AnySeat:
		allowed = c.Here || c.IsSeat()
	}
	switch {
	case allowed && !c.Here && o.Who != Anyone && o.Reading != "" && !bench.Reads(c.Seat, o.Reading):
		return NotHere("web.other_seat")
	case allowed:
		return nil
	case o.Who == BenchOnly:
		return NotHere("web.bench_only")
	case c.IsSeat():
		return NotHere("web.other_game")
	}
	return NotHere("web.seats_only")
}
