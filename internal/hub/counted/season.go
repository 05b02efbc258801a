package counted

import (
	"time"

	"whistlestop/season/book"
	"whistlestop/season/league"
	"whistlestop/season/tally"
)

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
