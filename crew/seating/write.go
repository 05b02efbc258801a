package seating

import "whistlestop/game/datafile"

// Keep is the rules as the file that Read takes.
func (r Rules) Keep() ([]byte, error) {
	if err := r.validate(); err != nil {
		return nil, err
	}
	return datafile.Encode(r)
}

// Proposed are rules to begin with, for a league that said nothing yet. They are ours.
func Proposed() Rules {
	return Rules{
		BetweenRinks: 15, Drive: 25, Costs: usual, Target: Target{Further: 50},
		Seats: []Seat{
			{ID: "clock", Kind: "clock", Need: "must", Before: 15, OwnGame: true},
			{ID: "book", Kind: "book", Need: "must", Before: 15, OwnGame: true},
			{ID: "box", Kind: "box", Need: "may", Before: 15, Screened: true},
			{ID: "shots", Kind: "shots", Need: "may", Before: 15, OwnGame: true},
		},
	}
}
