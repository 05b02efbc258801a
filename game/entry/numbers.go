package entry

import "slices"

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

// MapNumbers returns what an entry says about who played, in which each number is
// what change makes of it: a copy, or the same where that changes nothing. Rosters and
// answers of captains stay as they are: the one says how a number is written, the other
// picks from a list.
func MapNumbers(body Body, change func(Side, Jersey) Jersey) Body {
	changed := false
	one := func(side Side, number *Jersey) {
		if as := change(side, *number); as != *number {
			*number, changed = as, true
		}
	}
	list := func(side Side, numbers *[]Jersey) {
		for i, j := range *numbers {
			if one(side, &j); j != (*numbers)[i] {
				*numbers = slices.Clone(*numbers)
				(*numbers)[i] = j
			}
		}
	}
	switch b := body.(type) {
	case Goal:
		one(b.Side, &b.Scorer)
		list(b.Side, &b.Assists)
		list(Home, &b.OnIce.Home)
		list(Visitors, &b.OnIce.Visitors)
		if changed {
			return b
		}
	case Penalty:
		one(b.Side, &b.Player)
		one(b.Side, &b.ServedBy)
		if changed {
			return b
		}
	case Goalkeeper:
		if one(b.Side, &b.Number); changed {
			return b
		}
	case Seated:
		if one(b.Side, &b.Player); changed {
			return b
		}
	case FaceOff:
		one(Home, &b.Home)
		one(Visitors, &b.Visitors)
		if changed {
			return b
		}
	case Note:
		if b.Player != "" {
			one(b.Side, &b.Player)
		}
		if changed {
			return b
		}
	case Attempt:
		one(b.Side, &b.Player)
		one(b.Side.Other(), &b.Goalkeeper)
		if changed {
			return b
		}
	default: // the others name nobody, or in a way of their own
	}
	return body
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
