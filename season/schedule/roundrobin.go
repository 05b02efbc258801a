package schedule

import "whistlestop/game/message"

// Pairing is one game: who is at home and who is away.
type Pairing struct{ Home, Away int }

// Round is games in which no team plays twice.
type Round []Pairing

// teamsMost bounds what one league may ask for.
const teamsMost = 200

// RoundRobin is a single round robin of n teams by the published Berger tables (FIDE
// Handbook C.05 Annex 1; first named is at home): team n-1 stands still, the others
// go round. With an odd number one team is free in each round. It fails below two
// teams and above two hundred.
func RoundRobin(n int) ([]Round, error) {
	if n < 2 || n > teamsMost {
		return nil, message.New("schedule.robin", "count", n, "most", teamsMost)
	}
	even := n + n%2
	last, places := even-1, even-1
	rounds := make([]Round, places)
	for r := range rounds {
		anchor := r * (even / 2) % places
		game := Pairing{Home: anchor, Away: last}
		if r%2 == 1 {
			game = Pairing{Home: last, Away: anchor}
		}
		if last < n { // otherwise the last one is nobody
			rounds[r] = append(rounds[r], game)
		}
		for k := 1; k < even/2; k++ {
			rounds[r] = append(rounds[r], Pairing{Home: (anchor + k) % places, Away: (anchor - k + places) % places})
		}
	}
	return rounds, nil
}

// Twice is a double round robin: the second half repeats the first with home and
// away exchanged. The last two rounds of the first half change places, as FIDE
// advises, or some teams would play three times running at home or away.
func Twice(rounds []Round) []Round {
	first := append([]Round(nil), rounds...)
	if n := len(first); n > 2 {
		first[n-1], first[n-2] = first[n-2], first[n-1]
	}
	all := append([]Round(nil), first...)
	for _, round := range rounds {
		var back Round
		for _, game := range round {
			back = append(back, Pairing{Home: game.Away, Away: game.Home})
		}
		all = append(all, back)
	}
	return all
}
