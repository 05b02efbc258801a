package lanes

import "whistlestop/game/entry"

// spans are the lengths of time that a rail shows. Few of them, so that two
// pictures can be compared.
var spans = []entry.Millis{
	entry.Clock(3, 0), entry.Clock(5, 0), entry.Clock(8, 0), entry.Clock(12, 0), entry.Clock(20, 0), entry.Clock(40, 0),
}

// span chooses how much time the rail shows: all that leaves somebody short. A
// misconduct is long and leaves nobody short: it may run off the edge.
func (p Picture) span() entry.Millis {
	longest := entry.Millis(0)
	for _, lane := range p.Lanes {
		for _, bar := range lane.Bars {
			for _, piece := range bar.Pieces {
				if piece.Style != Misconduct {
					longest = max(longest, piece.To-p.Now.Abs)
				}
			}
		}
	}
	for _, s := range spans {
		// A third more, for the words behind the longest bar.
		if longest*4/3 <= s {
			return s
		}
	}
	return longest * 4 / 3
}

// mark is a line across the rail.
type mark struct {
	at   entry.Millis // from now
	text string       // of the game clock, at a whole minute
	ends entry.Stage  // the period that ends there; without a kind: a whole minute
}

// marks lists the whole minutes of the game clock and the ends of periods.
func (p Picture) marks(span entry.Millis) []mark {
	step := entry.Clock(1, 0)
	switch {
	case span > entry.Clock(12, 0):
		step = entry.Clock(5, 0)
	case span > entry.Clock(5, 0):
		step = entry.Clock(2, 0)
	}
	var list []mark
	for _, period := range p.Periods {
		end := period.Abs + period.Length - p.Now.Abs
		for left := (period.Length - 1) / step * step; left > 0; left -= step {
			if at := end - left; at > 0 && at < span {
				list = append(list, mark{at: at, text: left.Left()})
			}
		}
		if end > 0 && end < span {
			list = append(list, mark{at: end, ends: period.Stage})
		}
	}
	return list
}
