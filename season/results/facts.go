package results

import (
	"cmp"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/record/report"
	"whistlestop/season/figures"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
)

// Facts is all that a season keeps of a game's report. People are known by their
// names, or "#" and number, until a league's list says who they are.
type Facts struct {
	Ledger         string // id of the game's ledger
	Schedule       string // id of the game in the schedule, where the ledger has it
	Number         string // of the game, as the league counts
	Division       string // as the report names it
	Date           string
	Started, Ended entry.Millis // of Unix time
	Over           bool
	Sealed         bool
	Seals          int
	SealedAt       entry.Millis // the newest seal, also one that does not hold any more
	Fingerprint    string
	Names          [2]string
	Result         standings.Game // its teams are names
	Figures        figures.Game
	Calls          [2][]suspensions.Call
	Sheet          [2][]Listed
	Coach          [2]string         // who signed as head coach
	Withdrawn      [2][]entry.Jersey // numbers of players whose name was taken out
	Minutes        [2]int            // penalty minutes of the teams
	GoalEntries    []string          // of the goals in Figures, by index
	PenaltyEntries [2][]string
}

// Listed is somebody on a team's list.
type Listed struct {
	Who    string
	Number entry.Jersey
	Status entry.PlayerStatus
}

// FactsOf is what a season keeps of a report.
func FactsOf(d report.Document) Facts {
	f := Facts{
		Ledger: d.Game, Schedule: d.Head.Schedule, Number: strings.TrimSpace(d.Head.Number), Division: d.Head.Division, Date: d.Head.Date,
		Started: d.Head.Started, Ended: d.Head.Finished, Over: d.Finished, Sealed: d.Sealed, Seals: len(d.Seals),
		Figures: Figures(d),
	}
	f.Result, _ = Of(d)
	if n := len(d.Seals); n > 0 {
		f.SealedAt, f.Fingerprint = d.Seals[n-1].Wall, d.Seals[n-1].Fingerprint
	}
	for _, goal := range d.Goals {
		f.GoalEntries = append(f.GoalEntries, goal.Entry)
	}
	for side, roster := range d.Teams {
		f.Names[side], f.Withdrawn[side] = string(team(roster)), roster.Withdrawn
		for _, p := range roster.Players {
			f.Sheet[side] = append(f.Sheet[side], Listed{Who: string(who(d, side, p.Number)), Number: p.Number, Status: p.Status})
		}
		for _, official := range roster.Staff {
			if official.Role == entry.HeadCoach && f.Coach[side] == "" {
				f.Coach[side] = cmp.Or(strings.TrimSpace(official.Name), "head coach")
			}
		}
		name := func(id, _ string, _ bool) string { return id }
		f.Calls[side] = calls(d, side, "", name)
		seen := map[string]bool{}
		for _, line := range d.Penalties {
			if line.Side == roster.Side {
				f.Minutes[side] += int(line.Charged / 60_000)
				if !seen[line.Entry] {
					seen[line.Entry] = true
					f.PenaltyEntries[side] = append(f.PenaltyEntries[side], line.Entry)
				}
			}
		}
	}
	return f
}
