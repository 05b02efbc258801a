package api

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Public is what a state says to anybody: score, clock, numbers, penalties and
// when they end. It lists what goes out rather than what stays in, so that a new
// part of the state stays in until somebody lets it out. Names go out only where
// the coordinator turned that on for the game.
func Public(s rules.State) rules.State {
	p := rules.State{
		Game: s.Game, Seq: s.Seq, Opened: s.Opened, Info: s.Info, Division: s.Division,
		Stage: s.Stage, Next: []rules.NextStage{}, Clock: s.Clock, TimeOut: s.TimeOut, Delay: s.Delay,
		Bench:   rules.Bench{Clock: s.Bench.Clock, RunningTime: s.Bench.RunningTime, Names: s.Bench.Names},
		Periods: s.Periods, Strength: s.Strength,
		Goals: []rules.Goal{}, Calls: []rules.Call{}, Terms: []rules.Term{}, Releases: []rules.Release{},
		Hold: []rules.Item{}, Notices: []rules.Item{}, Owed: []rules.Item{}, Asked: []rules.Question{},
		Book: publicBook(s.Book), Lines: goalLines(s),
	}
	if d := s.Clock.Doubt; d != nil { // that it is doubted; which readings there are the bench decides
		p.Clock.Doubt = &rules.Doubt{Entry: d.Entry, From: d.From, Asleep: d.Asleep}
	}
	for i, team := range s.Teams {
		p.Teams[i] = publicTeam(team, s.Bench.Names)
	}
	for _, g := range s.Goals {
		g.Reasons, g.OnIce = []rules.Reason{}, entry.OnIce{}
		p.Goals = append(p.Goals, g)
	}
	for _, c := range s.Calls {
		c.Reasons = []rules.Reason{}
		p.Calls = append(p.Calls, c)
	}
	for _, t := range s.Terms {
		t.Reasons = []rules.Reason{}
		p.Terms = append(p.Terms, t)
	}
	for _, r := range s.Releases {
		r.Why = rules.Say{}
		p.Releases = append(p.Releases, r)
	}
	for _, d := range s.Due {
		d.Why = rules.Say{Key: d.Why.Key} // why somebody comes out is seen by everybody; what fills its gaps stays in
		p.Due = append(p.Due, d)
	}
	return unnumbered(p, s.Teams)
}

// unnumbered is a public state without the numbers of players whose name was taken
// out: with team and date a number still tells who it was.
func unnumbered(p rules.State, teams [2]rules.Team) rules.State {
	if len(teams[0].Withdrawn)+len(teams[1].Withdrawn) == 0 {
		return p
	}
	cut := func(side entry.Side, number entry.Jersey) entry.Jersey {
		if side.Valid() && teams[side.Index()].IsWithdrawn(number) {
			return entry.TakenOut
		}
		return number
	}
	other := func(side entry.Side, number entry.Jersey) entry.Jersey {
		if !side.Valid() {
			return number
		}
		return cut(side.Other(), number)
	}
	for i, side := range entry.Sides {
		t := &p.Teams[i]
		t.Goalkeeper = cut(side, t.Goalkeeper)
		t.Players = slices.DeleteFunc(t.Players, func(one entry.Player) bool { return teams[i].IsWithdrawn(one.Number) })
	}
	for i, g := range p.Goals {
		assists := make([]entry.Jersey, len(g.Assists))
		for k, number := range g.Assists {
			assists[k] = cut(g.Side, number)
		}
		p.Goals[i].Scorer, p.Goals[i].Assists = cut(g.Side, g.Scorer), assists
	}
	for i, c := range p.Calls {
		p.Calls[i].Player = cut(c.Side, c.Player)
	}
	rows := map[string]string{} // they are named by side and number
	for i, t := range p.Terms {
		if cut(t.Side, t.Player) != t.Player {
			if rows[t.Row] == "" {
				rows[t.Row] = string(t.Side) + "/" + t.Entry
			}
			p.Terms[i].Row = rows[t.Row]
		}
		p.Terms[i].Player, p.Terms[i].Sits = cut(t.Side, t.Player), cut(t.Side, t.Sits)
	}
	for i, r := range p.Releases {
		p.Releases[i].Sits = cut(r.Side, r.Sits)
	}
	for i, d := range p.Due {
		p.Due[i].Sits, p.Due[i].Player = cut(d.Side, d.Sits), cut(d.Side, d.Player)
	}
	b := &p.Book
	b.Shots, b.Attempts, b.Keepers = slices.Clone(b.Shots), slices.Clone(b.Attempts), slices.Clone(b.Keepers)
	for i, s := range b.Shots {
		b.Shots[i].Goalkeeper = other(s.Side, s.Goalkeeper)
	}
	for i, a := range b.Attempts {
		b.Attempts[i].Player, b.Attempts[i].Goalkeeper = cut(a.Side, a.Player), other(a.Side, a.Goalkeeper)
	}
	for i, k := range b.Keepers {
		b.Keepers[i].Number = cut(k.Side, k.Number)
	}
	return p
}

// publicTeam is a team without its roster; with the names of those who play
// where names may go out.
func publicTeam(t rules.Team, names bool) rules.Team {
	p := rules.Team{
		Side: t.Side, Name: t.Name, Players: []entry.Player{}, Staff: []entry.Official{},
		Colour: t.Colour, Score: t.Score, Shown: t.Shown, TimeOuts: t.TimeOuts, Goalkeeper: t.Goalkeeper, NetEmpty: t.NetEmpty,
	}
	for _, player := range t.Players {
		if names && player.Status.Plays() {
			player.Status = entry.Dressed // who was called up is nobody's business
			p.Players = append(p.Players, player)
		}
	}
	return p
}

// publicBook is the counts and tries of the book, without people.
func publicBook(b rules.Book) rules.Book {
	return rules.Book{
		Shots: b.Shots, Attempts: b.Attempts, ShootOut: b.ShootOut, Keepers: b.Keepers,
		FaceOffs: []rules.FaceOff{}, Said: []string{}, Signatures: []rules.Signature{},
		Seals: []rules.Seal{}, Doubles: []rules.Double{},
	}
}

// goalLines is when each goal was entered, which the Wall needs to say for how
// long it is news. Nothing else of the ledger goes out.
func goalLines(s rules.State) []rules.Line {
	lines := []rules.Line{}
	for _, l := range s.Lines {
		goal, is := l.Body.(entry.Goal)
		if !is || l.Struck {
			continue
		}
		lines = append(lines, rules.Line{
			Entry: l.Entry, Seq: l.Seq, Kind: l.Kind, Moment: l.Moment, Wall: l.Wall, Seat: l.Seat, Follows: []rules.Reason{},
			Body: entry.Goal{Side: goal.Side},
		})
	}
	return lines
}
