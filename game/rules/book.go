package rules

import (
	"cmp"
	"slices"

	"whistlestop/game/entry"
)

// shotsAt is one count of shots before it is known who kept goal.
type shotsAt struct {
	period int
	abs    entry.Millis
	entry.Shots
}

// book gathers what only the book keeps, from the entries as they count now.
func (f *folding) book() {
	b := &f.state.Book
	*b = Book{
		Shots: []ShotCount{}, Attempts: []Attempt{}, Keepers: []KeeperSpell{}, FaceOffs: []FaceOff{},
		Said: []string{}, Signatures: []Signature{}, Seals: []Seal{}, Doubles: []Double{},
	}
	shots := make([]shotsAt, 0, len(f.booked))
	b.Sealed = f.sealed
	for _, e := range f.booked {
		switch body := e.body.(type) {
		case entry.Shots:
			at := f.within(*e.at)
			shots = append(shots, shotsAt{at.Period, f.box.axis.abs(at), body})
		case entry.Goalkeeper:
			b.Keepers = append(b.Keepers, KeeperSpell{
				Entry: e.ID, Side: body.Side, Number: body.Number, From: f.box.axis.momentAt(*e.at),
			})
		case entry.Attempt:
			b.Attempts = append(b.Attempts, Attempt{
				Entry: e.ID, Moment: f.box.axis.momentAt(*e.at), Side: body.Side, Player: body.Player,
				Goalkeeper: body.Goalkeeper, Scored: body.Scored, On: body.On,
			})
		case entry.CrewSet:
			b.Crew = body
		case entry.RosterSet:
			b.Confirmed[body.Side.Index()] = ""
		case entry.RosterConfirmed:
			b.Confirmed[body.Side.Index()] = body.By
		case entry.Announced:
			b.Said = append(b.Said, body.What)
		case entry.Signed:
			b.Signatures = append(b.Signatures, Signature{
				Entry: e.ID, Role: body.Role, Name: body.Name, Code: body.Code, Drawn: body.Drawing != "", Wall: e.Wall,
			})
		case entry.Sealed:
			b.Seals = append(b.Seals, Seal{
				Entry: e.ID, Version: body.Version, Head: body.Head, Replaces: body.Replaces,
				Missing: body.Missing, Seq: e.Seq, Wall: e.Wall,
			})
		default: // the other entries say nothing here
		}
	}
	f.facedOff()
	entry.Arrange(b.Keepers, func(x, y KeeperSpell) int { return cmp.Compare(x.From.Abs, y.From.Abs) })
	f.countShots(shots)
	f.shootOut()
}

// facedOff lists the face-offs: those walked before are as they were.
func (f *folding) facedOff() {
	b := &f.state.Book
	if f.first > 0 && f.faced > 0 {
		b.FaceOffs = slices.Clip(f.before.State.Book.FaceOffs[:f.faced])
	}
	for _, e := range f.faceOffs[f.faced:] {
		body := e.body.(entry.FaceOff)
		b.FaceOffs = append(b.FaceOffs, FaceOff{
			Entry: e.ID, Moment: f.box.axis.momentAt(*e.at), Won: body.Won, Home: body.Home, Visitors: body.Visitors,
		})
	}
}

// countShots adds the counts up by period, side and goalkeeper.
func (f *folding) countShots(shots []shotsAt) {
	b := &f.state.Book
	for _, s := range shots {
		keeper, _ := f.state.KeeperAt(s.Side.Other(), s.abs)
		same := func(c ShotCount) bool {
			return c.Period == s.period && c.Side == s.Side && c.Goalkeeper == keeper
		}
		if at := slices.IndexFunc(b.Shots, same); at >= 0 {
			b.Shots[at].Count += s.Count
			continue
		}
		b.Shots = append(b.Shots, ShotCount{Period: s.period, Side: s.Side, Goalkeeper: keeper, Count: s.Count})
	}
	entry.Arrange(b.Shots, func(x, y ShotCount) int {
		return cmp.Or(cmp.Compare(x.Period, y.Period), cmp.Compare(x.Side.Index(), y.Side.Index()))
	})
}

// shootOut works out how a shoot-out stands, and gives its winner the goal.
func (f *folding) shootOut() {
	s := &f.state
	var so ShootOut
	for _, a := range s.Book.Attempts {
		if a.On != entry.ShootOutAttempt {
			continue
		}
		i := a.Side.Index()
		so.Tries[i]++
		if a.Scored {
			so.Goals[i]++
		}
	}
	if so.Tries == [2]int{} && s.Stage.Kind != entry.ShootOut {
		return
	}
	if s.Teams[0].Score == s.Teams[1].Score {
		so.decide(s.Division.ShootOut.Shooters, s.Stage.Kind == entry.Over)
	}
	s.Book.ShootOut = &so
	if so.Decided {
		s.Teams[so.Winner.Index()].Score++
	}
}

// decide says who has won: whoever can no longer be caught up with in the first
// rounds, and from then on whoever leads after as many tries each (IIHF 2025/26
// Rule 84, USA Hockey 638(c)). A shoot-out that was ended counts as it stands.
func (so *ShootOut) decide(rounds int, ended bool) {
	lead := so.Goals[0] - so.Goals[1]
	ahead, tries := 0, 1 // the side ahead, and the other
	if lead < 0 {
		lead, ahead, tries = -lead, 1, 0
	}
	left := max(0, rounds-so.Tries[tries]) // of the side behind in the first rounds
	even := so.Tries[0] == so.Tries[1] && so.Tries[0] >= rounds
	early := so.Tries[0] <= rounds && so.Tries[1] <= rounds && lead > left
	if lead > 0 && (ended || even || early) {
		so.Decided, so.Winner = true, entry.Sides[ahead]
	}
}
