package season

import (
	"context"
	"time"

	"whistlestop/season/book"
	"whistlestop/season/league"
	"whistlestop/season/tally"
)

// Standing is a season as it stands, for whoever shows it another way. Nobody changes it.
type Standing struct {
	League league.League
	Season tally.Season
	People book.People    // the numbers by which everybody may know the people
	Zone   *time.Location // of the rinks' clocks
}

// Standing adds the season up to what is known now. It is an *api.No where there is no
// season, no schedule, or a file that cannot be used.
func (s *Service) Standing(ctx context.Context) (out Standing, err error) {
	f, err := s.planned()
	if err != nil {
		return out, err
	}
	err = s.with(ctx, f, func(b booked) error {
		out = Standing{League: *b.league, Season: b.Season, People: b.people(), Zone: b.zone}
		return nil
	})
	return out, err
}
