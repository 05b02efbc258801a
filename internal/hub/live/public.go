package live

import (
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
)

// Public is what a hub says of a game to anybody: what a bench says to strangers, by
// numbers where the names are not for everybody, whatever the bench shows at its rink, and
// where it is played only when it is over: until then the page would tell a stranger where
// a child is.
func Public(s rules.State, names bool) rules.State {
	s.Bench.Names = names
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

// Filed is how the report of a game stands, for whoever may read reports.
type Filed struct {
	Seals     int          `json:"seals,omitempty"`     // the version of the newest seal; 0: nobody sealed it yet
	SealedAt  entry.Millis `json:"sealed_ms,omitempty"` // when that was, by the bench's time
	Incidents int          `json:"incidents,omitempty"` // notes that are more than a remark
	Venue     string       `json:"venue,omitempty"`
}

// filedOf works that out.
func filedOf(ledger []entry.Entry, s rules.State) (f Filed) {
	f.Venue = s.Info.Venue
	for _, e := range ledger {
		if sealed, is := e.Body.(entry.Sealed); is {
			f.Seals, f.SealedAt = sealed.Version, e.Wall
		}
	}
	for _, line := range s.Lines {
		if note, is := line.Body.(entry.Note); is && !line.Struck && note.About != entry.Remark {
			f.Incidents++
		}
	}
	return f
}

// listed is what is kept of a game for lists. One that was kept before there was a
// Filed is worked out once more.
type listed struct {
	Title
	Filed *Filed `json:"filed,omitempty"`
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
