package results

import (
	"cmp"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/record/report"
	"whistlestop/season/suspensions"
)

// Suspensions is what a season of reports knows for a book: the games that were
// played, who was called for what, and who signed as head coach. A person is known
// by team and name, or number; what another league counts is not here.
func Suspensions(reports []report.Document, adult bool) suspensions.Season {
	s := suspensions.Season{Adult: adult}
	known := map[string]bool{}
	person := func(id, team string, coach bool) string {
		id = team + ", " + id
		if !known[id] {
			known[id] = true
			s.People = append(s.People, suspensions.Person{ID: id, Coach: coach, Teams: []string{team}})
		}
		return id
	}
	reports = slices.Clone(reports)
	slices.SortStableFunc(reports, func(a, b report.Document) int {
		return cmp.Or(cmp.Compare(a.Head.Date, b.Head.Date), cmp.Compare(a.Head.Started, b.Head.Started), cmp.Compare(a.Game, b.Game))
	})
	for i, d := range reports {
		for side, roster := range d.Teams {
			name := string(team(roster))
			game := d.Game + "/" + strconv.Itoa(side)
			s.Games = append(s.Games, suspensions.Game{
				// Reports without a date keep the order in which the games began.
				ID: game, Team: name, Date: cmp.Or(d.Head.Date, "0000-00-00") + " " + number(i), Kind: "league",
			})
			for _, official := range roster.Staff {
				if official.Role == entry.HeadCoach {
					person(cmp.Or(official.Name, "head coach"), name, true)
				}
			}
			s.Calls = append(s.Calls, calls(d, side, game, person)...)
		}
	}
	return s
}

// number makes numbers that sort as texts.
func number(n int) string {
	text := strconv.Itoa(n)
	return "000000"[min(len(text), 6):] + text
}

// calls is a team's calls of one game: the parts of a call stand together.
func calls(d report.Document, side int, game string, person func(id, team string, coach bool) string) []suspensions.Call {
	var list []suspensions.Call
	at := map[string]int{} // by entry
	name := string(team(d.Teams[side]))
	for _, line := range d.Penalties {
		if line.Side != d.Teams[side].Side {
			continue
		}
		i, begun := at[line.Entry]
		if !begun {
			i = len(list)
			at[line.Entry] = i
			call := suspensions.Call{
				Game: game, Team: name, Fighting: line.Call == "fighting", Unsportsmanlike: line.Call == "unsportsmanlike",
				Infraction: line.Call, Left: left(d, line.Off),
			}
			if !line.Bench && line.Player != "" {
				call.Who = person(string(who(d, side, line.Player)), name, false)
			}
			list = append(list, call)
		}
		list[i].Parts = append(list[i].Parts, line.Kind)
	}
	return list
}

// left is how much of the regulation periods was left; nothing in overtime.
func left(d report.Document, off report.Stamp) entry.Millis {
	rest := off.Left
	for _, period := range d.Periods {
		if period.Period > off.Period && period.Stage.Kind == entry.Period {
			rest += period.Length
		}
	}
	return rest
}
