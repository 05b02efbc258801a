package schedule

import (
	"fmt"

	"whistlestop/game/message"
)

// where says who is at home to whom in a round: for each team whom it meets, or
// nobody, and whether it is at home.
func where(round Round, teams int) (meets []int, home []bool) {
	meets, home = make([]int, teams), make([]bool, teams)
	for i := range meets {
		meets[i] = nobody
	}
	for _, game := range round {
		meets[game.Home], meets[game.Away] = game.Away, game.Home
		home[game.Home] = true
	}
	return meets, home
}

const nobody = -1

// Breaks counts the games that a team plays where it played the one before: at home
// or away twice running. A free round between them makes no difference.
func Breaks(rounds []Round, teams int) int {
	count := 0
	last := make([]int, teams) // 1 at home, -1 away, 0 not yet
	for _, round := range rounds {
		meets, home := where(round, teams)
		for team := range teams {
			if meets[team] == nobody {
				continue
			}
			now := -1
			if home[team] {
				now = 1
			}
			if now == last[team] {
				count++
			}
			last[team] = now
		}
	}
	return count
}

// CarryOver is the sum of squares of how often one team meets next whom another
// meets now, the last round before the first (Russell 1980, from memory).
func CarryOver(rounds []Round, teams int) int {
	count := make([]int, teams*teams)
	for r, round := range rounds {
		now, _ := where(round, teams)
		next, _ := where(rounds[(r+1)%len(rounds)], teams)
		for team := range teams {
			if next[team] == nobody || now[next[team]] == nobody {
				continue
			}
			// team meets next whom the other one meets now
			count[now[next[team]]*teams+team]++
		}
	}
	sum := 0
	for _, c := range count {
		sum += c * c
	}
	return sum
}

// Travel is the distance that all teams go: from home to the first game, from game
// to game, and home after the last. Distances are whole numbers of any unit.
func Travel(rounds []Round, distance [][]int) (int, error) {
	teams := len(distance)
	at := make([]int, teams)
	for team := range at {
		at[team] = team
		if len(distance[team]) != teams {
			return 0, message.New("schedule.distances", "team", team, "count", len(distance[team]), "teams", teams)
		}
	}
	total := 0
	for _, round := range rounds {
		for _, game := range round {
			if min(game.Home, game.Away) < 0 || max(game.Home, game.Away) >= teams {
				return 0, message.New("schedule.teams", "home", game.Home, "away", game.Away, "teams", teams)
			}
			for _, team := range []int{game.Home, game.Away} {
				total += distance[at[team]][game.Home]
				at[team] = game.Home
			}
		}
	}
	for team, place := range at {
		total += distance[place][team]
	}
	return total, nil
}

// Fault is what is wrong with a schedule, in words for whoever wrote the program
// that made it.
type Fault string

// goneOn is how many games running a team then played at home (above nought) or
// away (below).
func goneOn(run int, home bool) int {
	switch {
	case home:
		return max(run, 0) + 1
	default:
		return min(run, 0) - 1
	}
}

// CheckDouble holds a double round robin against its rules: every team plays in every round,
// every pair meets once in each town, not in two rounds running, and nobody plays
// more than so many games running at home or away (nought: as many as they like).
func CheckDouble(rounds []Round, teams, running int, apart bool) []Fault {
	var faults []Fault
	found := func(format string, arguments ...any) {
		faults = append(faults, Fault(fmt.Sprintf(format, arguments...)))
	}
	met := map[Pairing]int{}
	run, before := make([]int, teams), make([]int, teams)
	for i := range before {
		before[i] = nobody
	}
	for r, round := range rounds {
		meets, home := where(round, teams)
		if len(round)*2 != teams-teams%2 {
			found("round %d has %d games", r, len(round))
		}
		for _, game := range round {
			met[game]++
		}
		for team := range teams {
			if meets[team] == nobody {
				continue
			}
			run[team] = goneOn(run[team], home[team])
			if running > 0 && max(run[team], -run[team]) > running {
				found("round %d: team %d plays a game too many running in one place", r, team)
			}
			if apart && meets[team] == before[team] {
				found("round %d: team %d meets %d twice running", r, team, meets[team])
			}
			before[team] = meets[team]
		}
	}
	for home := range teams {
		for away := range teams {
			if home != away && met[Pairing{home, away}] != 1 {
				found("%d at home to %d: %d times", home, away, met[Pairing{home, away}])
			}
		}
	}
	return faults
}
