package report_test

import (
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/report"
)

// TestFigures plays a game with everything that a league may keep.
func TestFigures(t *testing.T) {
	g := newTape(t)
	g.post(0, 0, 0, entry.Goalkeeper{Side: entry.Home, Number: "1"})
	g.post(0, 0, 0, entry.Goalkeeper{Side: entry.Visitors, Number: "30"})
	g.period(1)
	on := entry.OnIce{Home: []entry.Jersey{"1", "9", "8", "7"}, Visitors: []entry.Jersey{"30", "4", "5"}}
	g.post(1, 2, 0, entry.FaceOff{Won: entry.Home, Home: "9", Visitors: "4"})
	g.post(1, 5, 0, entry.Goal{Side: entry.Home, Scorer: "9", Unassisted: true, OnIce: on}) // even
	g.post(1, 6, 0, entry.Penalty{Side: entry.Visitors, Player: "4", Call: "hooking", Parts: []entry.Part{entry.Minor}})
	g.post(1, 7, 0, entry.Goal{Side: entry.Home, Scorer: "8", Unassisted: true, OnIce: on}) // power play: no plus
	g.post(1, 20, 0, entry.Shots{Side: entry.Home, Count: 9})
	g.post(1, 20, 0, entry.Shots{Side: entry.Visitors, Count: 4})
	g.period(2)
	g.post(2, 10, 0, entry.Goalkeeper{Side: entry.Visitors, Number: "31"})
	g.post(2, 11, 0, entry.Shots{Side: entry.Home, Count: 2})
	g.post(2, 15, 0, entry.Goalkeeper{Side: entry.Visitors})
	g.post(2, 16, 0, entry.Goal{Side: entry.Home, Scorer: "7", Unassisted: true, EmptyNet: true, OnIce: entry.OnIce{Home: on.Home, Visitors: on.Visitors[1:]}})
	g.post(2, 16, 30, entry.Shots{Side: entry.Home, Count: 1})
	g.post(2, 17, 0, entry.Goalkeeper{Side: entry.Visitors, Number: "31"})
	g.post(2, 20, 0, entry.ClockStopped{Elapsed: entry.Clock(20, 0)})
	g.post(0, 0, 0, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
	d := g.build("")

	home, visitors := d.Totals.Sides[0], d.Totals.Sides[1]
	player := func(side report.Side, j entry.Jersey) string {
		for _, p := range side.Players {
			if p.Number == j && p.PlusMinus != nil {
				return fmt.Sprint(*p.PlusMinus)
			}
		}
		return "none"
	}
	var nets []string
	for _, k := range d.Goalkeepers {
		nets = append(nets, fmt.Sprint(k.Number, " ", k.Time, " ", *k.Shots, "-", k.GoalsAgainst, "-", *k.Saves, " ", shares(k.SaveShare)))
	}
	for what, pair := range map[string][2]string{
		"shots":                           {fmt.Sprint(*home.Shots, " ", *visitors.Shots), "12 4"},
		"shots by period":                 {fmt.Sprint(home.ShotsByPeriod), "[9 3 0]"},
		"saves":                           {fmt.Sprint(*home.Saves, " ", *visitors.Saves), "4 9"},
		"goalkeepers":                     {fmt.Sprint(nets), "[1 40:00 4-0-4 1000 30 30:00 9-2-7 778 31 8:00 2-0-2 1000]"},
		"power play":                      {shares(home.PowerPlayShare), "1000"},
		"kills":                           {fmt.Sprint(visitors.Kills, " ", shares(visitors.KillShare)), "0 0"},
		"plus":                            {player(home, "9") + " " + player(home, "8") + " " + player(home, "1"), "2 2 none"},
		"minus":                           {player(visitors, "4") + " " + player(visitors, "30"), "-2 none"},
		"face-offs":                       {fmt.Sprint(home.FaceOffsWon, " ", visitors.FaceOffsWon), "1 0"},
		"net at each goal":                {fmt.Sprint(d.Goals[0].Goalkeeper, d.Goals[1].Goalkeeper, "-", d.Goals[2].Goalkeeper), "3030-"},
		"shots by period of the document": {fmt.Sprint(*d.Periods[0].Shots, *d.Periods[1].Shots), "[9 4] [3 0]"},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s: got %s, want %s", what, pair[0], pair[1])
		}
	}
}

func shares(share *int) string {
	if share == nil {
		return "none"
	}
	return fmt.Sprint(*share)
}
