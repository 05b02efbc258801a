package laptop

import (
	"context"
	"log/slog"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/seats"
	"whistlestop/record/seal"
)

// Service is a bench with what a coordinator has around it.
type Service struct {
	Bench *bench.Bench
	Seats *seats.Register
	Cards Cards // the rink cards that are kept
	// Divisions are the league's own; nil: only those of the program.
	Divisions Divisions
	Pictures  Pictures                            // what the Wall shows in the breaks; nil: none can be kept
	Print     PrintCard                           // prints one
	Report    WriteReport                         // writes the report of a game
	Formats   []Format                            // in which it does
	Shares    Shares                              // which reports anybody may read
	Keys      Keys                                // the bench's key, which seals reports
	Pins      func(api.Words) ([]seal.Pin, error) // the keys of benches that are known; nil: none
	Teams     Teams                               // the last roster of every team
	Rosters   ReadRoster                          // reads what leagues send

	// Season answers what is asked of the season, and refuses who must miss a game;
	// nil: there is none.
	Season Season
	// Crew answers what is asked of the crew's desk; nil: there is none.
	Crew Rows
	// Duties is who is on duty at the games; nil: nobody knows.
	Duties Duties

	Copies   func() CopyReport                                               // how the further copies stand; nil: there are none
	ReadCopy func(content []byte) (games []CopiedGame, torn bool, err error) // reads a copy that is sent; nil: none can be

	// Hub is the association's server that the games go to; nil: none can be.
	Hub Hub
	// Proposals keeps what copies propose; nil: nothing is kept.
	Proposals Proposals
	// Withdrawals takes names out; nil: nothing can be taken out.
	Withdrawals Withdrawals
	// EndsNames takes the names out of every copy; nil: there are none.
	EndsNames EndsNames

	// Reach returns the address by which other devices reach the bench, such as
	// "http://192.168.7.20:8480", and whether they do. It may be nil: they do not.
	Reach func() (address string, shared bool)
	// Healthy says why entries cannot be kept at the moment. It may be nil.
	Healthy func(context.Context) error
	// QR draws a text as the SVG of a QR code.
	QR func(text string) (string, error)

	Languages api.Languages
	Logger    *slog.Logger

	Views *api.Views // what each reader sees of a game
}

// Rows are operations that another part of the program brings: a bench without that
// part does not carry it.
type Rows interface {
	Operations() []api.Operation
}

// Season is the season that a bench is in.
type Season interface {
	Rows
	// Guard is the games of a bench, of which line-ups are refused with somebody who
	// must miss the game.
	Guard(api.Live) api.Live
}

// Duties is who is on duty at the games of a bench.
type Duties interface {
	Rows
	// Taken is told which seat of the game a device took.
	Taken(c *api.Call, seat entry.Seat, side entry.Side)
}

// Common is what every bench answers.
func (s *Service) Common() *api.Common {
	live := api.Live(s.Bench)
	if s.Season != nil {
		live = s.Season.Guard(s.Bench)
	}
	return &api.Common{Live: live, Views: s.Views, League: s.league}
}

// beside are the operations of the other parts that this bench has.
func (s *Service) beside() (rows []api.Operation) {
	if s.Season != nil {
		rows = s.Season.Operations()
	}
	if s.Crew != nil {
		rows = append(rows, s.Crew.Operations()...)
	}
	if s.Duties != nil {
		rows = append(rows, s.Duties.Operations()...)
	}
	return rows
}
