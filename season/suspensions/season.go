package suspensions

import (
	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// Person is somebody who can be suspended, by the league's own key: names and
// numbers change, and two people may share one.
type Person struct {
	ID    string
	Coach bool     // signs as head coach
	Teams []string // the one of first approval first
}

// Status says what became of a game.
type Status string

// What may become of a game. The empty value: played, or to be played.
const (
	Played    Status = ""
	Forfeited Status = "forfeit"
	Cancelled Status = "cancelled"
	Abandoned Status = "abandoned" // begun and not ended
)

// Game is one team's game in the order of the schedule.
type Game struct {
	ID      string
	Team    string
	Date    string // YYYY-MM-DD, with the time behind it where two games share a day
	MovedTo string // where it was postponed to
	Kind    string // league, tournament, playoff, exhibition
	Status  Status
	After   string // the game after which it was put on the schedule, where that was late
	Adult   bool   // of a division of adults
	Coach   string // who signed as head coach; empty: whoever is the team's
}

// when is when the game is really played.
func (g Game) when() string {
	if g.MovedTo != "" {
		return g.MovedTo
	}
	return g.Date
}

// Before is the game of a call earlier in the season, of which only the count matters.
const Before = "before"

// Call is what the referee called on somebody, or what a team did as a whole.
type Call struct {
	Game            string
	Who             string
	Team            string
	Parts           []entry.Part
	Infraction      string
	Left            entry.Millis // of the game when it was called
	Fighting        bool
	Aggressive      bool // one of those that a book counts over a season; also where Infraction is one of the book's
	Unsportsmanlike bool
	Listed          int // the least that a league's list gives for it
	Penalties       int // of a team, where the parts are not known one by one
	Majors          int // likewise
}

// Prior is what somebody had on the record before a game.
type Prior struct {
	Who                  string
	Minutes, Misconducts int
	Games                int // still to be served
	Why                  string
}

// Ruling is a decision of the league: how many games a suspension has in all.
type Ruling struct {
	Who   string
	Game  string // in which it was earned; empty: the first that is open
	Games int
}

// Season is what happened.
type Season struct {
	Adult  bool
	People []Person
	Games  []Game
	Calls  []Call
	Priors []Prior
	Rules  []Ruling
	Played map[string]map[string]bool // by game, who took part although suspended
	// TookPart says from the sheets who took part in a game; nil: nobody knows.
	TookPart func(game, who string) bool
	Found    string // the game after which a mistake of the sheet came to light
}

// Validate says what cannot be.
func (s Season) Validate() error {
	games, people := map[string]bool{Before: true}, map[string]bool{"": true}
	for _, g := range s.Games {
		if g.ID == "" || g.Team == "" || g.Date == "" || games[g.ID] {
			return message.New("suspension.game", "game", message.Plain(g.ID), "team", message.Plain(g.Team), "date", message.Plain(g.Date))
		}
		games[g.ID] = true
	}
	for _, p := range s.People {
		if p.ID == "" || people[p.ID] || len(p.Teams) == 0 {
			return message.New("suspension.person", "person", message.Plain(p.ID))
		}
		people[p.ID] = true
	}
	for _, c := range s.Calls {
		if !games[c.Game] || !people[c.Who] || c.Who == "" && c.Team == "" {
			return message.New("suspension.call", "person", message.Plain(c.Who), "game", message.Plain(c.Game))
		}
	}
	return nil
}
