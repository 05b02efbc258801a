package report

import (
	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// figures adds to the totals what only some leagues keep: shots, who was on the
// ice, face-offs.
func (t *Totals) figures(s rules.State, of func(entry.Side, entry.Jersey) *Player) {
	t.shotFigures(s)
	onIce := false
	for _, g := range s.Goals {
		onIce = onIce || len(g.OnIce.Home)+len(g.OnIce.Visitors) > 0
	}
	if onIce {
		for i, side := range entry.Sides {
			for _, p := range s.Teams[i].Players {
				if !keeps(s.Teams[i].Players, p.Number) {
					of(side, p.Number).PlusMinus = new(int)
				}
			}
		}
		for i := range s.Goals {
			t.plusMinus(s, i, of)
		}
	}
	t.faceOffs(s, of)
	for i := range t.Sides {
		side, other := &t.Sides[i], &t.Sides[1-i]
		side.Kills = max(0, other.PowerPlays.Chances-other.PowerPlays.Goals)
		side.PowerPlayShare = thousandths(side.PowerPlays.Goals, side.PowerPlays.Chances)
		side.KillShare = thousandths(side.Kills, other.PowerPlays.Chances)
	}
}

// shotFigures counts shots on goal by side and period.
func (t *Totals) shotFigures(s rules.State) {
	if len(s.Book.Shots) == 0 {
		return
	}
	for i := range t.Sides {
		t.Sides[i].Shots, t.Sides[i].Saves = new(int), new(int)
		t.Sides[i].ShotsByPeriod = make([]int, len(s.Periods))
	}
	for _, c := range s.Book.Shots {
		side := &t.Sides[c.Side.Index()]
		*side.Shots += c.Count
		if n := c.Period - 1; n >= 0 && n < len(side.ShotsByPeriod) {
			side.ShotsByPeriod[n] += c.Count
		}
	}
	for i := range t.Sides {
		// What the other side shot and did not score was saved; nobody saves what
		// goes at an empty net, and an own goal is no shot of the other side.
		other, against := entry.Sides[1-i], 0
		for _, g := range s.Goals {
			if g.Side == other && !g.OwnGoal {
				against++
			}
		}
		*t.Sides[i].Saves = max(0, *t.Sides[1-i].Shots-against)
	}
}

// plusMinus gives everybody who was on the ice a plus or a minus, goalkeepers
// left out.
func (t *Totals) plusMinus(s rules.State, goal int, of func(entry.Side, entry.Jersey) *Player) {
	if !t.Goals[goal].Counts {
		return
	}
	g := s.Goals[goal]
	for i, on := range [2][]entry.Jersey{g.OnIce.Home, g.OnIce.Visitors} {
		side, step := entry.Sides[i], -1
		if side == g.Side {
			step = 1
		}
		inNet, _ := s.KeeperAt(side, g.Moment.Abs)
		for _, j := range on {
			if j == inNet || keeps(s.Teams[i].Players, j) {
				continue
			}
			p := of(side, j)
			if p.PlusMinus == nil {
				p.PlusMinus = new(int)
			}
			*p.PlusMinus += step
		}
	}
}

// faceOffs counts face-offs won and lost.
func (t *Totals) faceOffs(s rules.State, of func(entry.Side, entry.Jersey) *Player) {
	count := func(side entry.Side, j entry.Jersey, won bool) {
		p := of(side, j)
		if p.FaceOffs == nil {
			p.FaceOffs = &FaceOffs{}
		}
		if won {
			p.FaceOffs.Won++
		} else {
			p.FaceOffs.Lost++
		}
	}
	for _, f := range s.Book.FaceOffs {
		for i, j := range [2]entry.Jersey{f.Home, f.Visitors} {
			side := entry.Sides[i]
			if f.Won == side {
				t.Sides[i].FaceOffsWon++
			}
			if j != "" {
				count(side, j, f.Won == side)
			}
		}
	}
}

// keeps reports whether a roster has a number as a goalkeeper.
func keeps(players []entry.Player, j entry.Jersey) bool {
	for _, p := range players {
		if p.Number == j {
			return p.Goalkeeper || p.Position == entry.Keeps
		}
	}
	return false
}
