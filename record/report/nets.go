package report

import (
	"slices"

	"whistlestop/game/entry"
)

// attempts writes penalty shots that missed, and the shoot-out.
func (b *builder) attempts() {
	book := &b.state.Book
	b.d.Attempts = []AttemptLine{}
	for _, a := range book.Attempts {
		b.d.Attempts = append(b.d.Attempts, AttemptLine{
			Entry: a.Entry, At: b.stamp(a.Moment), Side: a.Side, Player: a.Player, Goalkeeper: a.Goalkeeper,
			Scored: a.Scored, ShootOut: a.On == entry.ShootOutAttempt,
		})
	}
	if so := book.ShootOut; so != nil {
		b.d.ShootOut = &ShootOut{Goals: so.Goals, Tries: so.Tries, Winner: so.Winner, Decided: so.Decided}
	}
}

// shots writes the shots on goal by period, side and goalkeeper. A goal is a
// shot on goal; one by the other side into its own net is not, so it takes no
// save away.
func (b *builder) shots() {
	b.d.Shots = []ShotLine{}
	if len(b.state.Book.Shots) == 0 {
		return
	}
	line := func(period int, side entry.Side, goalkeeper entry.Jersey) *ShotLine {
		for i := range b.d.Shots {
			if l := &b.d.Shots[i]; l.Period == period && l.Side == side && l.Goalkeeper == goalkeeper {
				return l
			}
		}
		b.d.Shots = append(b.d.Shots, ShotLine{Period: period, Side: side, Goalkeeper: goalkeeper})
		return &b.d.Shots[len(b.d.Shots)-1]
	}
	for _, s := range b.state.Book.Shots {
		line(s.Period, s.Side, s.Goalkeeper).Shots += s.Count
	}
	for _, g := range b.d.Goals {
		if !g.OwnGoal {
			line(g.At.Period, g.Side, g.Goalkeeper).Goals++
		}
	}
	slices.SortStableFunc(b.d.Shots, func(x, y ShotLine) int {
		return compareAll(x.Period-y.Period, x.Side.Index()-y.Side.Index())
	})
	for i := range b.d.Shots {
		if s := &b.d.Shots[i]; s.Goalkeeper != "" {
			s.Saves = max(0, s.Shots-s.Goals)
		}
	}
	for i := range b.d.Periods {
		count := [2]int{}
		for _, s := range b.d.Shots {
			if s.Period == b.d.Periods[i].Period {
				count[s.Side.Index()] += s.Shots
			}
		}
		b.d.Periods[i].Shots = &count
	}
}

// compareAll returns the first difference that is one.
func compareAll(differences ...int) int {
	for _, d := range differences {
		if d != 0 {
			return d
		}
	}
	return 0
}

// goalkeepers writes the figures of everybody who was said to keep goal. The
// time in the net is counted between the changes in whole seconds, so that the
// times of a side and of its empty net add up to the game.
func (b *builder) goalkeepers() {
	b.d.Goalkeepers = []GoalkeeperLine{}
	for _, side := range entry.Sides {
		first := len(b.d.Goalkeepers)
		line := func(number entry.Jersey) *GoalkeeperLine {
			for i := first; i < len(b.d.Goalkeepers); i++ {
				if b.d.Goalkeepers[i].Number == number {
					return &b.d.Goalkeepers[i]
				}
			}
			b.d.Goalkeepers = append(b.d.Goalkeepers, GoalkeeperLine{Side: side, Number: number, Name: b.name(side, number)})
			return &b.d.Goalkeepers[len(b.d.Goalkeepers)-1]
		}
		inNet, since := entry.Jersey(""), entry.Millis(0)
		spell := func(until entry.Millis) {
			until = min(until, b.end)
			if inNet != "" && until >= since {
				line(inNet).Time += until/1000*1000 - since/1000*1000
			}
		}
		for _, k := range b.state.Book.Keepers {
			if k.Side == side {
				spell(k.From.Abs)
				inNet, since = k.Number, k.From.Abs
			}
		}
		spell(b.end)
		for _, g := range b.d.Goals {
			if g.Side != side && g.Goalkeeper != "" {
				line(g.Goalkeeper).GoalsAgainst++
			}
		}
		for i := first; i < len(b.d.Goalkeepers); i++ {
			b.saves(&b.d.Goalkeepers[i])
		}
	}
}

// saves writes the shots that a goalkeeper faced, where shots were kept.
func (b *builder) saves(l *GoalkeeperLine) {
	if len(b.d.Shots) == 0 {
		return
	}
	shots, saves := 0, 0
	for _, s := range b.d.Shots {
		if s.Side != l.Side && s.Goalkeeper == l.Number {
			shots += s.Shots
			saves += s.Saves
		}
	}
	l.Shots, l.Saves = &shots, &saves
	l.SaveShare = thousandths(saves, shots)
}

// thousandths returns a share in thousandths, rounded half up; nothing of nothing
// is no share.
func thousandths(part, whole int) *int {
	if whole == 0 {
		return nil
	}
	share := (part*1000 + whole/2) / whole
	return &share
}

func (b *builder) name(side entry.Side, number entry.Jersey) string {
	for _, p := range b.state.Teams[side.Index()].Players {
		if p.Number == number {
			return p.Name
		}
	}
	return ""
}

// signed writes signatures and seals, with what only the ledger has of them.
func (b *builder) signed() {
	b.d.Signatures, b.d.Seals = []Signature{}, []Seal{}
	for _, s := range b.state.Book.Signatures {
		b.d.Signatures = append(b.d.Signatures, Signature{Entry: s.Entry, Role: s.Role, Name: s.Name, Code: s.Code, Wall: s.Wall})
	}
	for _, s := range b.state.Book.Seals {
		one := Seal{
			Entry: s.Entry, Version: s.Version, Head: s.Head, Replaces: s.Replaces, Missing: s.Missing, Wall: s.Wall,
		}
		if l := b.bodies[s.Entry]; l != nil {
			if body, ok := l.Body.(entry.Sealed); ok {
				one.Key, one.Signature = body.Key, body.Signature
			}
		}
		b.d.Seals = append(b.d.Seals, one)
	}
}
