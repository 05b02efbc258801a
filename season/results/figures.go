package results

import (
	"cmp"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/report"
	"whistlestop/season/figures"
)

// Figures is what a season counts of a report. A person is known by team and name,
// or by team and number where no name was kept, until a league gives ids. A report
// does not say who set foot on the ice: whoever is listed and takes part counts as
// having played.
func Figures(d report.Document) figures.Game {
	g := figures.Game{
		ID: d.Game, Date: d.Head.Date, Stage: d.Head.Division,
		Teams: [2]figures.Team{figures.Team(team(d.Teams[0])), figures.Team(team(d.Teams[1]))},
	}
	switch d.Score.Decided {
	case report.InRegulation:
		g.Decided = figures.InRegulation
	case report.InOvertime:
		g.Decided = figures.InOvertime
	case report.InShootOut:
		g.Decided = figures.InShootOut
	case report.Undecided:
	}
	if d.Score.Winner == entry.Visitors {
		g.Winner = figures.Visitors
	}
	for _, goal := range d.Goals {
		g.Goals = append(g.Goals, goalOf(d, goal))
	}
	g.Seconds = int(d.Totals.Played / 1000)
	g.Nets = nets(d)
	for i, roster := range d.Teams {
		side := figures.Side(i)
		minutes := map[entry.Jersey]entry.Millis{}
		for _, p := range d.Totals.Sides[i].Players {
			minutes[p.Number] = p.PenaltyMinutes
		}
		keeps := map[entry.Jersey]bool{}
		for _, line := range d.Goalkeepers {
			if line.Side != roster.Side {
				continue
			}
			keeps[line.Number] = true
			shots := line.GoalsAgainst
			if line.Shots != nil {
				shots = *line.Shots
			}
			g.Keepers = append(g.Keepers, figures.Keeper{
				Side: side, Who: who(d, i, line.Number), Seconds: int(line.Time / 1000),
				Against: line.GoalsAgainst, Shots: shots, Minutes: int(minutes[line.Number] / 60_000), Uncounted: line.Shots == nil,
			})
		}
		for _, player := range roster.Players {
			if player.Status.Plays() && !keeps[player.Number] && !player.Goalkeeper {
				g.Skaters = append(g.Skaters, figures.Skater{
					Side: side, Who: who(d, i, player.Number), Minutes: int16(min(minutes[player.Number]/60_000, minutesMost)),
				})
			}
		}
	}
	return g
}

// minutesMost is more penalty minutes than a game has, and fits into a skater's line.
const minutesMost = 9999

func goalOf(d report.Document, goal report.GoalLine) figures.Goal {
	side := sideOf(goal.Side)
	out := figures.Goal{
		At: atOf(goal.At), Side: side,
		PowerPlay: goal.Class == rules.PowerPlay, ShortHanded: goal.Class == rules.ShortHanded,
		EmptyNet: goal.EmptyNet, PenaltyShot: goal.On == entry.OnPenaltyShot,
		Plus: list(d, int(side), goal.OnIce[side]), Minus: list(d, int(1-side), goal.OnIce[1-side]),
	}
	if !goal.OwnGoal || goal.Scorer != "" {
		out.By = who(d, int(side), goal.Scorer)
	}
	out.Assists = list(d, int(side), goal.Assists)
	return out
}

// nets follows the changes in goal: each ends whoever was there before.
func nets(d report.Document) []figures.Net {
	var all []figures.Net
	for i := range d.Teams {
		side := figures.Side(i)
		open := -1
		for _, change := range d.Changes {
			if change.Side != d.Teams[i].Side {
				continue
			}
			at := atOf(change.At)
			if open >= 0 {
				all[open].To = at
			}
			if open = -1; change.Number != "" {
				all = append(all, figures.Net{Side: side, Who: who(d, i, change.Number), From: at})
				open = len(all) - 1
			}
		}
	}
	return all
}

func atOf(stamp report.Stamp) figures.At {
	return figures.At{Period: stamp.Period, Second: int(stamp.Elapsed / 1000)}
}

func sideOf(side entry.Side) figures.Side {
	if side == entry.Visitors {
		return figures.Visitors
	}
	return figures.Home
}

func list(d report.Document, side int, numbers []entry.Jersey) (people []figures.Person) {
	for _, number := range numbers {
		if number != "" {
			people = append(people, who(d, side, number))
		}
	}
	return people
}

// who is a person's identity: the team, and the name that the roster has for the
// number; the number itself where it has none.
func who(d report.Document, side int, number entry.Jersey) figures.Person {
	if number == "" {
		return ""
	}
	name := "#" + string(number)
	for _, player := range d.Teams[side].Players {
		if player.Number == number {
			name = cmp.Or(strings.TrimSpace(player.Name), name)
		}
	}
	return figures.Person(name)
}
