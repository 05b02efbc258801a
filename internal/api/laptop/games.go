package laptop

import (
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
)

func (s *Service) health(c *api.Call) (healthJSON, error) {
	health := healthJSON{Status: "ok", Now: c.Now}
	if s.Healthy != nil {
		if err := s.Healthy(c); err != nil {
			s.Logger.Error("the bench is not healthy", "error", err)
			health.Status, c.Status = "failing", api.StatusUnavailable
		}
	}
	return health, nil
}

func (s *Service) open(c *api.Call, in openingJSON) (openedJSON, error) {
	var more []entry.Entry // looked at before the game is there
	if in.SlotEnd != 0 && bench.ValidGame(in.ID) {
		slot := api.SlotEnds(c, in.ID, in.SlotEnd)
		if err := slot.Validate(); err != nil {
			return openedJSON{}, api.Refuse("refused.invalid", "detail", message.Inside(err)).About("slot_end_ms")
		}
		more = append(more, slot)
	}
	for _, division := range c.Divisions().Divisions {
		if division.ID != in.Division {
			continue
		}
		_, err := s.Bench.Open(c, bench.Opening{
			ID: in.ID, Number: in.Number, Schedule: in.Schedule, Venue: in.Venue, Date: in.Date,
			Division: division, Home: in.Home, Visitors: in.Visitors,
		})
		if err == nil && len(more) > 0 {
			_, err = s.Bench.Post(c, in.ID, more)
		}
		c.Location = "/api/games/" + in.ID
		return openedJSON{ID: in.ID}, err
	}
	return openedJSON{}, api.Refuse("web.no_division", "division", api.Clip(in.Division)).About("division")
}
