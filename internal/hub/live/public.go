package live

import (
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
)

// Public is what a hub says of a game to anybody: what a bench says to strangers, by
// numbers in every case, and where it is played only when it is over: until then the
// page would tell a stranger where a child is.
func Public(s rules.State) rules.State {
	s.Bench.Names = false
	p := api.Public(s)
	if p.Stage.Kind != entry.Over {
		p.Info.Venue = ""
	}
	return p
}

// Title is what lists show of a game.
type Title struct {
	Home     string       `json:"home"`
	Visitors string       `json:"visitors"`
	Division string       `json:"division,omitempty"`
	Number   string       `json:"number,omitempty"`
	Date     string       `json:"date,omitempty"`
	Score    [2]int       `json:"score"` // home, visitors
	NoScore  bool         `json:"no_score,omitempty"`
	Stage    entry.Stage  `json:"stage"`
	Sealed   bool         `json:"sealed,omitempty"`
	Opened   entry.Millis `json:"opened_ms"`
}

func titleOf(ledger []entry.Entry, s rules.State) Title {
	t := Title{
		Home: s.Teams[0].Name, Visitors: s.Teams[1].Name, Division: s.Division.Name, Number: s.Info.Number, Date: s.Info.Date,
		Score: [2]int{s.Teams[0].Score, s.Teams[1].Score}, Stage: s.Stage, Opened: ledger[0].Wall, NoScore: s.Division.Display.NoScore,
	}
	_, t.Sealed = ledger[len(ledger)-1].Body.(entry.Sealed)
	return t
}

// Of reports whether a team plays in the game.
func (t Title) Of(team string) bool { return t.Home == team || t.Visitors == team }
