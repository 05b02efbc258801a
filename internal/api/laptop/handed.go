package laptop

import (
	"errors"

	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/seats"
)

// handOver keeps what a device had entered as a seat and not handed over before
// the seat was taken away. Nobody else gets anything in here: the token of then
// says who it was, and a person decides.
func (s *Service) handOver(c *api.Call) (struct{}, error) {
	none := struct{}{}
	was, known := s.Seats.Former(c.Caller.Token)
	if !known || was.Game != c.In() {
		return none, api.NotHere("web.no_former_seat")
	}
	var body api.Entries
	if err := c.Read(&body); err != nil {
		return none, err
	}
	drafts, err := body.Drafts()
	if err != nil {
		return none, err
	}
	for _, d := range drafts {
		if err := d.Validate(); err != nil || d.Game != was.Game {
			return none, api.Refuse("web.handed_unusable")
		}
	}
	if len(drafts) == 0 {
		return none, api.Refuse("bench.nothing")
	}
	err = s.Seats.HandOver(seats.Handed{
		ID: drafts[0].ID, Game: was.Game, Device: was.Device, Role: was.Role, Saw: body.Saw, Entries: body.Entries,
	})
	switch {
	case errors.Is(err, seats.ErrFull):
		return none, api.NewNo(api.StatusConflict, api.Conflict, "web.handed_full")
	case err != nil:
		return none, s.seatsSay(err)
	}
	s.Logger.Info("a device without a seat handed over what it had", "game", was.Game, "seat", was.Seat, "entries", len(drafts))
	return none, nil
}

// decideHanded takes what was handed over into its game, with the rights of the
// seat that the device had, or leaves it out.
func (s *Service) decideHanded(c *api.Call, in decisionJSON) (seats.List, error) {
	game, id := c.In(), c.Part("handed")
	one, err := s.Seats.HandedOver(game, id)
	if err != nil {
		return seats.List{}, s.seatsSay(err)
	}
	if in.Take {
		drafts, err := api.Entries{Entries: one.Entries}.Drafts()
		if err != nil {
			var no *api.No
			if errors.As(err, &no) { // the question was fine, what was kept is not
				no.Status, no.Kind = api.StatusRefused, api.Refused
			}
			return seats.List{}, err
		}
		from := bench.Poster{Seat: one.Seat, Side: one.Side, Name: one.Device, Saw: one.Saw}
		if _, err := s.Bench.PostFrom(c, game, drafts, from); err != nil {
			return seats.List{}, err
		}
	}
	return s.done(c, s.Seats.Decided(game, id))
}
