package counted

import (
	"context"
	"time"

	"whistlestop/internal/api/season"
	"whistlestop/season/book"
	"whistlestop/season/league"
	"whistlestop/season/tally"
)

// Standing adds a season up to what is known now: season.Service.
type Standing interface {
	Standing(ctx context.Context) (season.Standing, error)
}

// Season is a season as it stands, worked out from the games that count. Nobody changes it.
type Season struct {
	League    league.League
	Season    tally.Season
	People    book.People     // the numbers by which everybody may know the people
	Named     map[Who]string  // names that everybody may be shown
	Left      []Left          // games that are left out
	Scoreless map[string]bool // ledgers whose score nobody is shown
	Zone      *time.Location  // of the rinks' clocks; nil: there is no season
}

// Season works the season out, by the games of its service, which are these.
func (g *Games) Season(ctx context.Context, service Standing, names *Names) (Season, error) {
	at, err := service.Standing(ctx)
	if err != nil {
		return Season{}, err
	}
	named, err := g.Named(ctx, at.Season.Games, names)
	if err != nil {
		return Season{}, err
	}
	return Season{
		Named: named, League: at.League, Season: at.Season, People: at.People, Zone: at.Zone, Left: g.Left(), Scoreless: g.Scoreless(),
	}, nil
}
