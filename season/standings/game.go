package standings

import "whistlestop/game/message"

// Team is a team's identity within a season. Its name is not known here.
type Team string

// How says how a game was decided, or why it counts as it does.
type How string

// The ways in which a game counts.
const (
	Regulation How = "reg"       // decided in the periods, or drawn when the goals are equal
	Overtime   How = "ot"        // decided in overtime
	ShootOut   How = "so"        // decided by a shoot-out; the goals hold the one that it gives
	Forfeit    How = "forfeit"   // awarded, with the goals that the league records
	Void       How = "void"      // counts as played, without goals and points
	Unplayed   How = "unplayed"  // still to come, cancelled or postponed: counts for nothing
	Abandoned  How = "abandoned" // begun and not finished: counts for nothing until the league says how
)

// Outcome is who won, where only that is known.
type Outcome string

// The outcomes of a game whose goals are not known.
const (
	Goals   Outcome = "" // the goals say it
	HomeWon Outcome = "home"
	AwayWon Outcome = "away"
	Drawn   Outcome = "tie"
)

// Game is a result as it counts for the table.
type Game struct {
	ID                   string
	Home, Away           Team
	HomeGoals, AwayGoals int // with the one for a shoot-out
	How                  How
	Won                  Outcome
	First                Team   // who scored first, where that is known
	When                 string // sorts by time: the first game of two is the earlier one; empty: the order of the input counts
}

// counts says whether the game is in the table at all.
func (g Game) counts() bool { return g.How != Unplayed && g.How != Abandoned }

func (g Game) won() Outcome {
	switch {
	case g.Won != Goals:
		return g.Won
	case g.HomeGoals > g.AwayGoals:
		return HomeWon
	case g.HomeGoals < g.AwayGoals:
		return AwayWon
	}
	return Drawn
}

// Validate says what is wrong with a game, if anything.
func (g Game) Validate() error {
	switch {
	case g.Home == "" || g.Away == "" || g.Home == g.Away:
		return message.New("result.teams", "game", g.ID, "home", message.Plain(g.Home), "away", message.Plain(g.Away))
	case g.HomeGoals < 0 || g.AwayGoals < 0 || g.HomeGoals > goalsMost || g.AwayGoals > goalsMost:
		return message.New("result.goals", "game", g.ID, "home", g.HomeGoals, "away", g.AwayGoals, "most", goalsMost)
	case (g.How == Overtime || g.How == ShootOut) && g.won() == Drawn:
		return message.New("result.nobody_won", "game", g.ID)
	}
	switch g.Won {
	case Goals, HomeWon, AwayWon, Drawn:
	default:
		return message.New("result.outcome", "game", g.ID, "outcome", message.Plain(g.Won))
	}
	switch g.How {
	case Regulation, Overtime, ShootOut, Forfeit, Void, Unplayed, Abandoned:
		return nil
	}
	return message.New("result.how", "game", g.ID, "how", message.Plain(g.How))
}

// goalsMost is more than any game has, and keeps every sum far from overflow.
const goalsMost = 999

// Points is what a game gives, by how it was won or lost.
type Points struct {
	RegulationWin  int `toml:"regulation_win"`
	OvertimeWin    int `toml:"overtime_win"`
	ShootOutWin    int `toml:"shoot_out_win"`
	OvertimeLoss   int `toml:"overtime_loss"`
	ShootOutLoss   int `toml:"shoot_out_loss"`
	Draw           int `toml:"draw"`
	RegulationLoss int `toml:"regulation_loss"`
}

// Most is the most that one game gives.
func (p Points) Most() int {
	return max(p.RegulationWin, p.OvertimeWin, p.ShootOutWin, p.OvertimeLoss, p.ShootOutLoss, p.Draw, p.RegulationLoss)
}

// Row is a team's line of the table. Wins and losses are kept by kind, because
// leagues mean different sums by "wins".
type Row struct {
	Played                                     int
	RegulationWins, OvertimeWins, ShootOutWins int
	RegulationLosses, OvertimeLosses           int
	ShootOutLosses, Draws                      int
	Points                                     int
	GoalsFor, GoalsAgainst                     int
	PenaltyMinutes                             int
	possible                                   int // points to be had in the games played
	firsts                                     int // games in which it scored first
}

// Wins is wins of every kind.
func (r Row) Wins() int { return r.RegulationWins + r.OvertimeWins + r.ShootOutWins }

// Losses is losses of every kind.
func (r Row) Losses() int { return r.RegulationLosses + r.OvertimeLosses + r.ShootOutLosses }

// Difference is goals for less goals against.
func (r Row) Difference() int { return r.GoalsFor - r.GoalsAgainst }

// Plus adds two rows: what a team brings into a season, or has lost to a ruling,
// is a row of its own and not a changed game.
func (r Row) Plus(o Row) Row {
	r.Played += o.Played
	r.RegulationWins += o.RegulationWins
	r.OvertimeWins += o.OvertimeWins
	r.ShootOutWins += o.ShootOutWins
	r.RegulationLosses += o.RegulationLosses
	r.OvertimeLosses += o.OvertimeLosses
	r.ShootOutLosses += o.ShootOutLosses
	r.Draws += o.Draws
	r.Points += o.Points
	r.GoalsFor += o.GoalsFor
	r.GoalsAgainst += o.GoalsAgainst
	r.PenaltyMinutes += o.PenaltyMinutes
	r.possible += o.possible
	r.firsts += o.firsts
	return r
}

// RowOf is what one game adds to a team's line of the table: nothing where the game
// does not count.
func (p Procedure) RowOf(g Game, team Team) Row {
	var one Row
	if g.counts() {
		one.add(g, team, p.Points, p.cut(0))
	}
	return one
}

// negative is what takes a row away again.
func (r Row) negative() Row {
	return Row{
		Played: -r.Played, RegulationWins: -r.RegulationWins, OvertimeWins: -r.OvertimeWins, ShootOutWins: -r.ShootOutWins,
		RegulationLosses: -r.RegulationLosses, OvertimeLosses: -r.OvertimeLosses, ShootOutLosses: -r.ShootOutLosses,
		Draws: -r.Draws, Points: -r.Points, GoalsFor: -r.GoalsFor, GoalsAgainst: -r.GoalsAgainst,
		PenaltyMinutes: -r.PenaltyMinutes, possible: -r.possible, firsts: -r.firsts,
	}
}

// add counts a game for one of its teams. A cut above nought brings the winner's
// goals down to the loser's and so many more.
func (r *Row) add(g Game, team Team, points Points, cut int) {
	home := team == g.Home
	r.Played++
	r.possible += points.Most()
	if g.How == Void {
		return
	}
	if g.First == team {
		r.firsts++
	}
	own, other := g.HomeGoals, g.AwayGoals
	if cut > 0 {
		own, other = min(own, other+cut), min(other, own+cut)
	}
	if !home {
		own, other = other, own
	}
	r.GoalsFor += own
	r.GoalsAgainst += other
	won := g.won()
	switch {
	case won == Drawn:
		r.Draws++
		r.Points += points.Draw
	case (won == HomeWon) == home:
		r.win(g.How, points)
	default:
		r.lose(g.How, points)
	}
}

func (r *Row) win(how How, points Points) {
	switch how {
	case Overtime:
		r.OvertimeWins++
		r.Points += points.OvertimeWin
	case ShootOut:
		r.ShootOutWins++
		r.Points += points.ShootOutWin
	case Regulation, Forfeit, Void, Unplayed, Abandoned:
		r.RegulationWins++
		r.Points += points.RegulationWin
	}
}

func (r *Row) lose(how How, points Points) {
	switch how {
	case Overtime:
		r.OvertimeLosses++
		r.Points += points.OvertimeLoss
	case ShootOut:
		r.ShootOutLosses++
		r.Points += points.ShootOutLoss
	case Regulation, Forfeit, Void, Unplayed, Abandoned:
		r.RegulationLosses++
		r.Points += points.RegulationLoss
	}
}
