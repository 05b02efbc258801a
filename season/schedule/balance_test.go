package schedule_test

import (
	"slices"
	"testing"

	"whistlestop/season/schedule"
)

// A double round robin with home and away exchanged has the fewest breaks that one of
// an even number of teams can have (3n-6: de Werra, from memory), and everybody is at
// home as often as away.
func TestTwiceHasTheFewestBreaks(t *testing.T) {
	for n := 4; n <= 40; n++ {
		rounds, err := schedule.RoundRobin(n)
		if err != nil {
			t.Fatal(err)
		}
		twice := schedule.Twice(rounds)
		if got := schedule.Breaks(twice, n); n%2 == 0 && got != 3*n-6 {
			t.Errorf("%d teams: %d breaks, want %d", n, got, 3*n-6)
		}
		home := make([]int, n)
		for _, round := range twice {
			for _, g := range round {
				home[g.Home]++
			}
		}
		if slices.Min(home) != n-1 || slices.Max(home) != n-1 {
			t.Errorf("%d teams: home games %v", n, home)
		}
	}
}

// However often they meet, the games of a season are at home and away alike: for each
// team, and for each two against each other, they differ by one at most.
func TestHomeAndAwayAreInBalance(t *testing.T) {
	l := harbour(t)
	for meetings := 1; meetings <= 6; meetings++ {
		for i := range l.Divisions {
			l.Divisions[i].Meetings = meetings
		}
		games, err := schedule.Games(l)
		if err != nil {
			t.Fatal(err)
		}
		team, pair := map[string]int{}, map[[2]string]int{}
		for _, g := range games {
			team[g.Home]++
			team[g.Visitors]--
			if g.Home < g.Visitors {
				pair[[2]string{g.Home, g.Visitors}]++
			} else {
				pair[[2]string{g.Visitors, g.Home}]--
			}
		}
		for id, more := range team {
			if more < -1 || more > 1 {
				t.Errorf("%d meetings: %s is at home %d times more than away", meetings, id, more)
			}
		}
		for two, more := range pair {
			if more < -1 || more > 1 {
				t.Errorf("%d meetings: %v differ by %d", meetings, two, more)
			}
		}
	}
}
