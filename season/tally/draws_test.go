package tally_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"whistlestop/game/message"
	"whistlestop/season/figures"
	"whistlestop/season/league"
	"whistlestop/season/standings"
	"whistlestop/season/tally"
)

// Where a league has no draws, none can be picked, and one that was played is named.
func TestALeagueWithoutDraws(t *testing.T) {
	l, games := body(t, 1, 4, 2, "iihf")
	for _, none := range []bool{false, true} {
		l.Standings.NoDraws = none
		one := start(t, l, games, league.Decisions{})
		f := report(rand.New(rand.NewPCG(1, 1)), l, games[0], 6)
		f.Result.HomeGoals, f.Result.AwayGoals, f.Result.How, f.Figures.Decided = 1, 1, standings.Regulation, figures.Drawn
		one.Put(f)
		s := season(t, one)
		if named := slices.ContainsFunc(s.Findings, func(f tally.Finding) bool { return f.Say.Key == "tally.drawn" && f.Game == games[0].ID }); named != none {
			t.Errorf("no draws %v: %v", none, s.Findings)
		}
		if p := s.Divisions[0].Places; p[0].Drawn != 1 {
			t.Errorf("a drawn game counts as drawn: %+v", p)
		}
		pick := func(goals [2]int, how standings.How) error {
			_, err := one.WhatIf([]tally.Pick{{Game: games[1].ID, Goals: goals, How: how}})
			return err
		}
		if err := pick([2]int{2, 2}, standings.Regulation); (err != nil) != none || none && message.Of(err).Key != "tally.pick_draw" {
			t.Errorf("no draws %v: picked one, %v", none, err)
		}
		if err := pick([2]int{3, 2}, standings.ShootOut); err != nil {
			t.Error(err)
		}
	}
}

// What is begun and not ended counts for nobody, and the table says so until a decision
// says how it counts.
func TestAnAbandonedGameIsOpen(t *testing.T) {
	l, games := body(t, 1, 4, 2, "iihf")
	games[0].State = "abandoned"
	keys := func(d league.Decisions, f bool) (list []string) {
		one := start(t, l, games, d)
		if f {
			one.Put(report(rand.New(rand.NewPCG(1, 1)), l, games[0], 6))
		}
		s := season(t, one)
		if s.Divisions[0].Played > 0 != (len(d.Results) > 0) {
			t.Errorf("%d games count", s.Divisions[0].Played)
		}
		for _, say := range s.Divisions[0].Open {
			list = append(list, say.Key)
		}
		return list
	}
	for _, sheet := range []bool{false, true} {
		if got := keys(league.Decisions{}, sheet); !slices.Equal(got, []string{"tally.abandoned"}) {
			t.Errorf("sheet %v: open are %v", sheet, got)
		}
	}
	decided := league.Decisions{Results: []league.Typed{{Game: games[0].ID, Home: 2, Visitors: 1, How: standings.Regulation, Why: "the committee"}}}
	if got := keys(decided, true); len(got) != 0 {
		t.Errorf("decided, and open are %v", got)
	}
}
