package tally_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/season/figures"
	"whistlestop/season/league"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
)

func harbour(t testing.TB) league.League {
	t.Helper()
	text, err := os.ReadFile("../../testdata/league/harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	l, err := league.Read(text, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// body is a league of so many divisions and teams, each two of which meet so often.
func body(t testing.TB, divisions, teams, meetings int, procedure string) (league.League, []schedule.Game) {
	t.Helper()
	l := harbour(t)
	rules := *l.Standings
	rules.Procedure, rules.Cap = procedure, nil
	l.Standings, l.Divisions, l.Shared = &rules, nil, nil
	for d := range divisions {
		one := league.Division{ID: fmt.Sprintf("d%d", d), Name: fmt.Sprint("Division ", d), Plays: "usah-youth", Meetings: meetings, Age: "youth", Minutes: 60}
		for i := range teams {
			one.Teams = append(one.Teams, league.Team{ID: fmt.Sprintf("d%d-t%02d", d, i), Name: fmt.Sprintf("Team %d", i)})
		}
		l.Divisions = append(l.Divisions, one)
	}
	games, err := schedule.Games(l)
	if err != nil {
		t.Fatal(err)
	}
	for i := range games {
		games[i].State = schedule.Scheduled
		games[i].Place = &schedule.Place{Rink: "saltworks", Sheet: 1, Day: l.From + dates.Day(2*games[i].Round), Start: dates.Clock(540 + i%8*60), Minutes: 60}
	}
	return l, games
}

var called = [][]entry.Part{
	{entry.Minor}, {entry.Minor}, {entry.Minor}, {entry.Minor}, {entry.Major}, {entry.Misconduct},
	{entry.Major, entry.GameMisconduct}, {entry.GameMisconduct}, {entry.Match},
}

// parts are those of a call: mostly minors where a season is to be like others.
func parts(random *rand.Rand, calm bool) []entry.Part {
	switch {
	case calm && random.IntN(60) > 0:
		return called[0]
	case calm:
		return called[4+random.IntN(4)] // a match penalty waits for a ruling that nobody makes here
	}
	return called[random.IntN(len(called))]
}

// report makes what a season keeps of a game, from a seed: 15 skaters and a goalkeeper a side.
func report(random *rand.Rand, l league.League, g schedule.Game, size int) results.Facts {
	calm := size > 10
	names := map[string]string{}
	for _, d := range l.Divisions {
		if d.ID == g.Division {
			for _, t := range d.Teams {
				names[t.ID] = t.Name
			}
		}
	}
	f := results.Facts{
		Ledger: "ledger-" + g.ID, Number: g.ID, Division: "usah-youth", Date: g.Place.Day.String(), Over: true, Sealed: true, Seals: 1,
		Names: [2]string{names[g.Home], names[g.Visitors]},
	}
	f.Figures = figures.Game{ID: f.Ledger, Date: f.Date, Decided: figures.InRegulation}
	for side := range 2 {
		s := figures.Side(side)
		keeper := figures.Person("Keeper")
		f.Figures.Keepers = append(f.Figures.Keepers, figures.Keeper{Side: s, Who: keeper, Seconds: 2700, Shots: 20})
		f.Figures.Nets = append(f.Figures.Nets, figures.Net{Side: s, Who: keeper, From: figures.At{Period: 1}, To: figures.At{Period: 3, Second: 900}})
		f.Sheet[side] = append(f.Sheet[side], results.Listed{Who: string(keeper), Number: "1"})
		f.Coach[side] = "Coach"
		for i := range size {
			who := fmt.Sprint("Player ", i)
			f.Sheet[side] = append(f.Sheet[side], results.Listed{Who: who, Number: entry.Jersey(fmt.Sprint(i + 2))})
			f.Figures.Skaters = append(f.Figures.Skaters, figures.Skater{Side: s, Who: figures.Person(who)})
		}
		for range random.IntN(6) {
			parts := parts(random, calm)
			f.Calls[side] = append(f.Calls[side], suspensions.Call{
				Who: fmt.Sprint("Player ", random.IntN(size)), Parts: parts, Infraction: "boarding", Left: entry.Millis(random.IntN(2_700_000)),
			})
			f.PenaltyEntries[side] = append(f.PenaltyEntries[side], fmt.Sprint("call ", len(f.PenaltyEntries[side])))
			f.Minutes[side] += 2
		}
	}
	goals := [2]int{}
	for i := range random.IntN(7) {
		side := random.IntN(2)
		goals[side]++
		f.Figures.Goals = append(f.Figures.Goals, figures.Goal{
			At: figures.At{Period: 1 + i/3, Second: 100 * (i%3 + 1)}, Side: figures.Side(side), By: figures.Person(fmt.Sprint("Player ", random.IntN(size))),
			Assists: []figures.Person{figures.Person(fmt.Sprint("Player ", random.IntN(size)))},
		})
		f.GoalEntries = append(f.GoalEntries, fmt.Sprint("goal ", i))
	}
	f.Result = standings.Game{ID: f.Ledger, Home: standings.Team(f.Names[0]), Away: standings.Team(f.Names[1]), HomeGoals: goals[0], AwayGoals: goals[1], How: standings.Regulation}
	switch {
	case goals[0] == goals[1] && random.IntN(2) == 0:
		f.Result.How, f.Figures.Decided = standings.ShootOut, figures.InShootOut
		f.Result.HomeGoals++
	case goals[0] == goals[1]:
		f.Figures.Decided = figures.Drawn
	case goals[1] > goals[0]:
		f.Figures.Winner = figures.Visitors
	}
	return f
}
