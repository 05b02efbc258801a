package tally

import (
	"whistlestop/game/message"
	"whistlestop/season/figures"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
)

// Season is a season as it stands: a value to show, to keep and to compare.
type Season struct {
	League      string       `json:"league"`
	Season      string       `json:"season"`
	Divisions   []Division   `json:"divisions"`
	Games       []Game       `json:"games"` // of the schedule, in its order
	Suspensions []Suspension `json:"suspensions"`
	AtLeast     bool         `json:"at_least"` // other leagues count too
	Skaters     []Skater     `json:"skaters"`
	Keepers     []Keeper     `json:"keepers"`
	Leaders     []Leaders    `json:"leaders"`      // by division and figure
	GameMinutes int          `json:"game_minutes"` // of play, for goals against a game
	Findings    []Finding    `json:"findings"`
}

// From says where a result comes from.
type From string

// Where results come from.
const (
	Sealed  From = "sealed"
	Amended From = "amended" // sealed once, and changed since: not sealed again
	Ended   From = "ended"   // over, and never sealed
	Typed   From = "typed"
	Awarded From = "awarded"
)

// Result is how a game ended.
type Result struct {
	From   From          `json:"from"`
	Goals  [2]int        `json:"goals"` // home, visitors, with the one for a shoot-out
	How    standings.How `json:"how"`
	Counts bool          `json:"counts"` // is in the table
	Seals  int           `json:"seals,omitempty"`
	Ledger string        `json:"ledger,omitempty"`
	Why    string        `json:"why,omitempty"` // of a decision
}

// Game is a game of the schedule with what became of it.
type Game struct {
	schedule.Game
	Result *Result `json:"result,omitempty"`
}

// Division is a division's table.
type Division struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	Ranked  bool          `json:"ranked"` // the league file says how
	Through int           `json:"through,omitempty"`
	Played  int           `json:"played"`
	ToCome  int           `json:"to_come"`
	Places  []Place       `json:"places"`
	Reasons []message.Say `json:"reasons"` // a sentence for each two neighbours who were equal
	Equal   []Equal       `json:"equal"`   // groups that no step could part
	Open    []message.Say `json:"open"`    // games that count for nothing until somebody does something
}

// Place is a team's line of a table.
type Place struct {
	Team      string   `json:"team"`
	Name      string   `json:"name"`
	Place     int      `json:"place"` // one number for all who are equal
	Equal     bool     `json:"equal,omitempty"`
	Played    int      `json:"played"`
	Won       int      `json:"won"`
	WonIn     [3]int   `json:"won_in"` // in the periods, overtime, shoot-outs
	Drawn     int      `json:"drawn"`
	Lost      int      `json:"lost"`
	LostIn    [3]int   `json:"lost_in"`
	For       int      `json:"for"`
	Against   int      `json:"against"`
	Points    int      `json:"points"`
	Taken     int      `json:"taken,omitempty"` // of the points: given or taken away by the league
	Minutes   int      `json:"minutes"`
	ToCome    int      `json:"to_come"`
	TakenWhys []string `json:"taken_whys,omitempty"`
}

// Equal is teams that are equal after every step, and what the league has to do.
type Equal struct {
	Teams []string    `json:"teams"`
	Say   message.Say `json:"say"`
}

// Suspension is what somebody earned, and how it stands.
type Suspension struct {
	Who     string   `json:"who"` // the person's key
	Name    string   `json:"name"`
	Team    string   `json:"team"`
	Coach   bool     `json:"coach,omitempty"`
	Game    string   `json:"game"` // in which it was earned; empty: before the season
	Why     string   `json:"why"`  // the rule
	Games   int      `json:"games"`
	Ruling  bool     `json:"ruling,omitempty"`  // open until the league rules
	Entries []string `json:"entries,omitempty"` // the calls of the game's ledger
	Served  []Served `json:"served"`
	Next    []string `json:"next"` // games to come that it takes
	Owed    int      `json:"owed"` // games for which the schedule has none
}

// Served is a game that was missed: the facts, so that a game that is postponed,
// awarded or corrected can be looked at again.
type Served struct {
	Game   string `json:"game"`
	Listed bool   `json:"listed"` // on the sheet as suspended; otherwise the league has to confirm it
	Sheet  bool   `json:"sheet"`  // the game has a sheet
	Number int    `json:"number"` // which of the games, from 1
}

// Skater is a skater's season.
type Skater struct {
	figures.SkaterLine
	Name string `json:"name"`
}

// Keeper is a goalkeeper's season.
type Keeper struct {
	figures.KeeperLine
	Name string `json:"name"`
}

// Leaders is a division's list of the best by one figure.
type Leaders struct {
	Division string     `json:"division"`
	By       figures.By `json:"by"`
	Least    int        `json:"least,omitempty"` // hundredths of the team's games, or minutes, that everybody in it has
	Rows     []Leader   `json:"rows"`
}

// Leader is somebody in a list.
type Leader struct {
	Place  int      `json:"place"` // one number for all who are equal
	Equal  bool     `json:"equal,omitempty"`
	Who    string   `json:"who"`
	Name   string   `json:"name"`
	Teams  []string `json:"teams"`
	Value  int      `json:"value"` // shares and averages in thousandths
	Played int      `json:"played"`
}

// Finding is what does not fit together, and what follows.
type Finding struct {
	Game   string      `json:"game,omitempty"`
	Ledger string      `json:"ledger,omitempty"`
	Say    message.Say `json:"say"`
}
