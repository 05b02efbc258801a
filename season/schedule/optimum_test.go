package schedule

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"whistlestop/game/dates"
	"whistlestop/season/league"
)

// small is a random league in which every schedule can be tried.
func small(r *rand.Rand) league.League {
	day := func(n int) *dates.Day { d := dates.Day(20_000 + n); return &d }
	l := league.League{
		Name: "Small", Season: "s", Zone: "UTC", From: 20_000, To: 20_020,
		Rinks: []league.Rink{{ID: "a", Name: "A", Sheets: 1, Drive: map[string]int{"b": r.IntN(90)}}, {ID: "b", Name: "B", Sheets: 1}},
		Limits: league.Limits{
			RestMinutes: r.IntN(3) * 60, GamesADay: r.IntN(3), GamesAWeek: r.IntN(3),
			Wishes: [][]string{nil, {league.LimitWeek}, {league.LimitRest, league.LimitDay}}[r.IntN(3)],
		},
	}
	for range 3 + r.IntN(3) {
		on := day(r.IntN(6))
		l.Ice = append(l.Ice, league.Ice{Rink: "ab"[r.IntN(2):][:1], Sheet: 1, On: on, Start: []dates.Clock{dates.Clock(480 + r.IntN(4)*90)}, Minutes: 60 + r.IntN(2)*30})
	}
	d := league.Division{ID: "d", Name: "D", Plays: "harbour-u14", Meetings: 1, Minutes: 60 + r.IntN(2)*30}
	for i := range 3 {
		team := league.Team{ID: fmt.Sprint("t", i), Name: "T", Home: []string{"", "a", "b"}[r.IntN(3)]}
		if r.IntN(4) == 0 {
			team.Away = []league.Span{{From: *day(r.IntN(6)), Why: "away"}}
		}
		d.Teams = append(d.Teams, team)
	}
	l.Divisions = []league.Division{d}
	if r.IntN(2) == 0 {
		l.Divisions = append(l.Divisions, league.Division{ID: "e", Name: "E", Plays: "harbour-u14", Meetings: 1, Minutes: 60, Teams: []league.Team{{ID: "u0", Name: "U"}, {ID: "u1", Name: "U"}}})
		l.Shared = []league.Shared{{Teams: []string{"t0", "u0"}, Who: "coach", Hard: r.IntN(2) == 0}}
	}
	return l
}

// cheapest tries every schedule. What two games do to each other it knows from the
// list of conflicts, which shares no code with the search.
func cheapest(p *problem, games []Game, next int, taken map[int]bool, sum, best int) int {
	if sum >= best {
		return best
	}
	if next == len(games) {
		for _, c := range Conflicts(p.league, games) {
			extra := 1
			switch c.Kind {
			case InADay:
				extra = len(c.Games) - p.league.Limits.GamesADay
			case InAWeek:
				extra = len(c.Games) - p.league.Limits.GamesAWeek
			case NotHome:
				continue // is in the cost of the slot
			}
			if c.Hard {
				return best
			}
			sum += extra * costWish
		}
		return min(best, sum)
	}
	games[next].Place, games[next].State = nil, ToBeConfirmed
	best = cheapest(p, games, next+1, taken, sum+costUnplaced, best)
	for _, m := range p.may[next] {
		if taken[m.slot] {
			continue
		}
		on := p.slots[m.slot]
		games[next].State = Scheduled
		games[next].Place = &Place{Rink: p.league.Rinks[on.Rink].ID, Sheet: on.Sheet, Day: on.Day, Start: on.Start, Minutes: on.Minutes}
		taken[m.slot] = true
		best = cheapest(p, games, next+1, taken, sum+m.cost, best)
		delete(taken, m.slot)
	}
	games[next].Place, games[next].State = nil, ToBeConfirmed
	return best
}

// On leagues small enough to try everything the search finds the cheapest schedule
// of all, and the bound is never above it.
func TestSmallLeaguesAreScheduledAtTheLeastCost(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	tried, found := 0, 0
	for tried < 300 {
		l := small(r)
		if l.Validate() != nil {
			continue // two slots at once
		}
		tried++
		plan, err := Make(l, Settings{Seed: uint64(tried), Moves: 4000})
		if err != nil {
			t.Fatal(err)
		}
		games, err := Games(l)
		if err != nil {
			t.Fatal(err)
		}
		p := newProblem(l, games)
		least := cheapest(p, games, 0, map[int]bool{}, 0, costUnplaced*len(games)+1)
		if plan.Cost < least || plan.Bound > least {
			t.Fatalf("league %d: cost %d, bound %d, the least is %d\n%+v", tried, plan.Cost, plan.Bound, least, l)
		}
		if plan.Cost == least {
			found++
		}
		for _, c := range Conflicts(l, plan.Games) {
			if c.Hard {
				t.Fatalf("league %d: %+v", tried, c)
			}
		}
	}
	if found < tried*99/100 {
		t.Errorf("the cheapest schedule was found for %d of %d leagues", found, tried)
	}
	t.Logf("schedule: the cheapest for %d of %d small leagues", found, tried)
}
