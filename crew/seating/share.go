package seating

import (
	"cmp"
	"slices"
	"unicode/utf8"

	"whistlestop/game/dates"
	"whistlestop/game/message"
)

// Target is how duties are shared out, counted, and what of them is to be done by
// when. Associations differ in all of it (their published policies: hours or minutes,
// credits a seat, by family or child, caps, two dates a season), so it is data.
type Target struct {
	// Further is what a second, third... child adds to a family's share, in percent of
	// the share for the first.
	Further int `toml:"further_child_percent"`

	Unit   Unit     `toml:"unit"`   // left out: duties
	Per    Per      `toml:"per"`    // left out: family
	Amount int      `toml:"amount"` // units that each family, or child, is to do; left out: an equal share of all seats
	Most   int      `toml:"most"`   // units of a family at most; left out: no cap
	Done   []string `toml:"done"`   // families that count as done, for example of the board or a team's staff

	// OthersOnly: a duty at a game of the family's own team does not count.
	OthersOnly bool `toml:"other_games_only"`
	// Unsaid: a duty that is over counts as done until somebody says that they did not come.
	Unsaid bool `toml:"unsaid_is_done"`
	// Late is how many hours before a duty a no counts as not having come; left out: never.
	Late int `toml:"late_hours"`
}

// Unit is what is counted.
type Unit string

// What can be counted.
const (
	InDuties  Unit = "duties"
	InMinutes Unit = "minutes" // from when somebody has to be there to the end of the ice
	InCredits Unit = "credits" // of the seat
)

// Per is what has a share.
type Per string

// What can have a share.
const (
	PerFamily Per = "family"
	PerChild  Per = "child" // a family has so many as it has teams
)

// Pot is a part of what is to be done, of some seats or by a date.
type Pot struct {
	Name   string     `toml:"name"`
	Seats  []string   `toml:"seats"`  // by their ids; left out: all
	Amount int        `toml:"amount"` // units that each family, or child, is to do
	From   *dates.Day `toml:"from"`   // left out: any day before By
	By     *dates.Day `toml:"by"`     // the last day; left out: the season's last
}

// Takes says whether a duty belongs into the pot.
func (p Pot) Takes(seat string, day dates.Day) bool {
	return (len(p.Seats) == 0 || slices.Contains(p.Seats, seat)) && (p.From == nil || *p.From <= day) && (p.By == nil || day <= *p.By)
}

const (
	potsMost     = 12
	potName      = 40 // letters
	creditsMost  = 100
	lateMost     = 30 * 24 // hours
	childPercent = 100
)

func (r Rules) validateShares() error {
	t := r.Target
	switch {
	case !slices.Contains([]Unit{"", InDuties, InMinutes, InCredits}, t.Unit):
		return message.New("seat_file.unit", "unit", message.Plain(t.Unit))
	case !slices.Contains([]Per{"", PerFamily, PerChild}, t.Per):
		return message.New("seat_file.per", "per", message.Plain(t.Per))
	case min(t.Amount, t.Most, t.Late) < 0 || max(t.Amount, t.Most) > 100_000 || t.Late > lateMost:
		return message.New("seat_file.target", "hours", lateMost)
	case len(r.Pots) > potsMost:
		return message.New("seat_file.pots", "most", potsMost)
	}
	for _, s := range r.Seats {
		if s.Credits < 0 || s.Credits > creditsMost {
			return message.New("seat_file.credits", "seat", s.ID, "most", creditsMost)
		}
	}
	seen := map[string]bool{}
	for _, pot := range r.Pots {
		switch {
		case pot.Name == "" || utf8.RuneCountInString(pot.Name) > potName || seen[pot.Name]:
			return message.New("seat_file.pot_name", "pot", message.Plain(pot.Name), "most", potName)
		case pot.Amount < 0 || pot.Amount > 100_000:
			return message.New("seat_file.target", "hours", lateMost)
		case pot.From != nil && pot.By != nil && *pot.From > *pot.By:
			return message.New("seat_file.pot_days", "pot", message.Plain(pot.Name))
		}
		for _, id := range pot.Seats {
			if !slices.ContainsFunc(r.Seats, func(s Seat) bool { return s.ID == id }) {
				return message.New("seat_file.pot_seat", "pot", message.Plain(pot.Name), "seat", message.Plain(id))
			}
		}
		seen[pot.Name] = true
	}
	return nil
}

// Worth is what a slot counts, in the unit of the rules.
func (p *Plan) Worth(slot int) int {
	s := p.Slots[slot]
	switch p.Rules.Target.Unit {
	case InMinutes:
		return s.Seat.Before + p.Games[s.Game].Minutes
	case InCredits:
		return cmp.Or(s.Seat.Credits, 1)
	case InDuties:
	}
	return 1
}

// Counts says whether a slot counts for a family.
func (p *Plan) Counts(slot, family int) bool {
	return !p.Rules.Target.OthersOnly || !together(p.teams[family], p.Games[p.Slots[slot].Game].Teams)
}

// IsDone says whether a family counts as done whatever it does.
func (p *Plan) IsDone(family int) bool {
	return slices.Contains(p.Rules.Target.Done, p.Families[family])
}

// Of is what an amount for each family, or child, is for a family, in units.
func (p *Plan) Of(amount, family int) int {
	if p.IsDone(family) {
		return 0
	}
	return (amount*p.weight(family) + childPercent/2) / childPercent
}

// weight is a family's part of the whole against that of one with one child, in
// percent.
func (p *Plan) weight(family int) int {
	children := max(1, len(p.teams[family]))
	if p.Rules.Target.Per == PerChild {
		return childPercent * children
	}
	return childPercent + p.Rules.Target.Further*(children-1)
}

// weights are the families' parts of an equal share.
func (p *Plan) weights() []int {
	weights := make([]int, len(p.Families))
	for f := range weights {
		if !p.IsDone(f) {
			weights[f] = p.weight(f)
		}
	}
	return weights
}

// shares gives each family its share, in the rules' unit, and the rota its target in
// duties. A rota is balanced in duties: where seats count unlike, the targets are the
// shares by what a duty counts on average.
func (p *Plan) shares(teams [][]string) {
	p.teams = teams
	p.Shares = make([]int, len(p.Families))
	if len(p.Families) == 0 {
		return
	}
	t, worth := p.Rules.Target, 0
	for slot := range p.Slots {
		worth += p.Worth(slot)
	}
	weights := p.weights()
	most, duties := t.Most, 0
	if most > 0 && worth > 0 {
		duties = (most*len(p.Slots) + worth - 1) / worth
	}
	if t.Amount == 0 {
		p.Shares = divide(worth, weights, most)
		for f, n := range divide(len(p.Slots), weights, duties) {
			p.Problem.Families[f].Target = n
		}
		return
	}
	for f := range p.Shares {
		p.Shares[f] = p.Of(t.Amount, f)
		if most > 0 {
			p.Shares[f] = min(p.Shares[f], most)
		}
		p.Problem.Families[f].Target = 0
		if worth > 0 {
			p.Problem.Families[f].Target = (p.Shares[f]*len(p.Slots) + worth/2) / worth
		}
	}
}

// divide divides a sum by weights; nobody gets more than most (nought: no cap), and
// what that leaves is divided again. What is left over goes to the largest remainders,
// in order. Where everybody has the most, a part of the sum is nobody's.
func divide(sum int, weights []int, most int) []int {
	parts := make([]int, len(weights))
	capped := make([]bool, len(weights))
	for {
		left, all := sum, 0
		for i, w := range weights {
			if capped[i] {
				left -= most
			} else {
				all += w
			}
		}
		if all == 0 || left <= 0 {
			return parts
		}
		var order []int
		given := 0
		for i, w := range weights {
			if capped[i] || w == 0 {
				continue
			}
			parts[i] = left * w / all
			given += parts[i]
			order = append(order, i)
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(left*weights[b]%all, left*weights[a]%all) })
		for _, i := range order[:left-given] {
			parts[i]++
		}
		again := false
		for _, i := range order {
			if most > 0 && parts[i] > most {
				parts[i], capped[i], again = most, true, true
			}
		}
		if !again {
			return parts
		}
	}
}
