package entry

// Bare is the number without the zero that some people write before a single
// digit: 05 is 5. 0 and 00 are two numbers.
func (j Jersey) Bare() Jersey {
	if len(j) == 2 && j[0] == '0' && j[1] != '0' {
		return j[1:]
	}
	return j
}

// Same reports whether two ways of writing are the same number.
func (j Jersey) Same(other Jersey) bool { return j.Bare() == other.Bare() }

// MapNumbers returns a copy of what an entry says about who played, in which each
// number is what change makes of it. Rosters and answers of captains stay as they
// are: the one says how a number is written, the other picks from a list.
func MapNumbers(b Body, change func(Side, Jersey) Jersey) Body {
	list := func(side Side, numbers []Jersey) []Jersey {
		if numbers == nil {
			return nil
		}
		out := make([]Jersey, len(numbers))
		for i, j := range numbers {
			out[i] = change(side, j)
		}
		return out
	}
	switch b := b.(type) {
	case Goal:
		b.Scorer, b.Assists = change(b.Side, b.Scorer), list(b.Side, b.Assists)
		b.OnIce.Home, b.OnIce.Visitors = list(Home, b.OnIce.Home), list(Visitors, b.OnIce.Visitors)
		return b
	case Penalty:
		b.Player, b.ServedBy = change(b.Side, b.Player), change(b.Side, b.ServedBy)
		return b
	case Goalkeeper:
		b.Number = change(b.Side, b.Number)
		return b
	case Seated:
		b.Player = change(b.Side, b.Player)
		return b
	case FaceOff:
		b.Home, b.Visitors = change(Home, b.Home), change(Visitors, b.Visitors)
		return b
	case Note:
		if b.Player != "" {
			b.Player = change(b.Side, b.Player)
		}
		return b
	case Attempt:
		b.Player, b.Goalkeeper = change(b.Side, b.Player), change(b.Side.Other(), b.Goalkeeper)
		return b
	default:
		return b
	}
}

// sided is a body that is about one side.
type sided interface{ side() Side }

// SideOf is the side that an entry is about, where it is about one.
func SideOf(b Body) Side {
	if about, is := b.(sided); is {
		return about.side()
	}
	return ""
}

func (b RosterSet) side() Side  { return b.Side }
func (b TimeOut) side() Side    { return b.Side }
func (b Goal) side() Side       { return b.Side }
func (b Penalty) side() Side    { return b.Side }
func (b Goalkeeper) side() Side { return b.Side }
func (b Seated) side() Side     { return b.Side }
func (b Shots) side() Side      { return b.Side }
func (b Attempt) side() Side    { return b.Side }
