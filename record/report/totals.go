package report

import (
	"cmp"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// TotalsVersion is the form of Totals where they stand alone; it goes up when a
// reader of the form before would misread one.
const TotalsVersion = 1

// Totals are the official totals of a game, as far as it has been played.
type Totals struct {
	Played entry.Millis `json:"played_ms"` // play so far
	Sides  [2]Side      `json:"sides"`     // home, visitors
	Goals  []PlusMinus  `json:"goals"`
}

// Side are the totals of one side.
type Side struct {
	Side           entry.Side   `json:"side"`
	Name           string       `json:"name"`
	Goals          int          `json:"goals"`
	GoalsByPeriod  []int        `json:"goals_by_period"`
	Penalties      int          `json:"penalties"`  // parts of calls, without what a goal wiped out
	PenaltyMinutes entry.Millis `json:"penalty_ms"` // charged
	PowerPlays     Advantage    `json:"power_plays"`
	ShortHanded    Advantage    `json:"short_handed"` // goals scored while short; chances and time are the other side's
	EmptyNetGoals  int          `json:"empty_net_goals"`

	// Kills are the other side's power plays without a goal. Shares are thousandths
	// of the chances; absent where there was no chance.
	Kills          int  `json:"kills"`
	PowerPlayShare *int `json:"power_play_share,omitempty"`
	KillShare      *int `json:"kill_share,omitempty"`

	// Absent where shots were not kept. Saves are those of this side.
	Shots         *int  `json:"shots,omitempty"`
	ShotsByPeriod []int `json:"shots_by_period,omitempty"`
	Saves         *int  `json:"saves,omitempty"`

	FaceOffsWon int `json:"face_offs_won,omitempty"`

	Players []Player `json:"players"`
}

// Advantage are chances, goals and time with more skaters than the other side,
// or with fewer.
type Advantage struct {
	Chances int          `json:"chances"`
	Goals   int          `json:"goals"`
	Time    entry.Millis `json:"time_ms"`
}

// Player are the totals of one player. The bench stands under an empty number.
type Player struct {
	Number         entry.Jersey `json:"number"`
	Name           string       `json:"name,omitempty"`
	Goals          int          `json:"goals"`
	Assists        int          `json:"assists"`
	Points         int          `json:"points"`
	Penalties      int          `json:"penalties"`
	PenaltyMinutes entry.Millis `json:"penalty_ms"`

	PlusMinus *int      `json:"plus_minus,omitempty"` // absent where the league does not keep who was on the ice
	FaceOffs  *FaceOffs `json:"face_offs,omitempty"`  // absent for whoever took none
}

// FaceOffs are face-offs won and lost by a player.
type FaceOffs struct {
	Won  int `json:"won"`
	Lost int `json:"lost"`
}

// PlusMinus says for a goal whether it counts for plus and minus: goals at even
// strength and short-handed do; power-play and penalty-shot goals do not
// (common practice, no source).
type PlusMinus struct {
	Entry  string     `json:"entry"`
	Side   entry.Side `json:"side"`
	Counts bool       `json:"counts"`
}

// Count adds up a game. Time with an advantage is counted up to where play
// stands, as far as the ledger knows.
func Count(s rules.State) Totals { return CountTo(s, Played(s)) }

// CountTo counts as far as a moment on the axis of play.
func CountTo(s rules.State, end entry.Millis) Totals {
	t := Totals{Played: end, Goals: []PlusMinus{}}
	players := [2]map[entry.Jersey]*Player{{}, {}}
	for i, side := range entry.Sides {
		t.Sides[i] = Side{
			Side: side, Name: s.Teams[i].Name,
			GoalsByPeriod: make([]int, len(s.Periods)), Players: []Player{},
		}
		for _, p := range s.Teams[i].Players {
			players[i][p.Number] = &Player{Number: p.Number, Name: p.Name}
		}
	}
	of := func(side entry.Side, number entry.Jersey) *Player {
		list := players[side.Index()]
		if list[number] == nil {
			list[number] = &Player{Number: number}
		}
		return list[number]
	}
	for _, g := range s.Goals {
		t.goal(g, of)
	}
	wiped := wipedParts(s)
	for _, c := range s.Calls {
		side, p := &t.Sides[c.Side.Index()], of(c.Side, c.Player)
		n := len(c.Parts) - wiped[c.Entry]
		side.Penalties += n
		side.PenaltyMinutes += c.Charged
		p.Penalties += n
		p.PenaltyMinutes += c.Charged
	}
	for i := range t.Sides {
		t.Sides[i].PowerPlays.Chances = chances(s, entry.Sides[i], t.Played)
		t.Sides[i].PowerPlays.Time = timeAhead(s, i, t.Played)
	}
	t.figures(s, of)
	for i := range t.Sides {
		t.Sides[i].ShortHanded.Chances = t.Sides[1-i].PowerPlays.Chances
		t.Sides[i].ShortHanded.Time = t.Sides[1-i].PowerPlays.Time
		for _, p := range players[i] {
			p.Points = p.Goals + p.Assists
			t.Sides[i].Players = append(t.Sides[i].Players, *p)
		}
		slices.SortFunc(t.Sides[i].Players, byNumber)
	}
	return t
}

func (t *Totals) goal(g rules.Goal, of func(entry.Side, entry.Jersey) *Player) {
	side := &t.Sides[g.Side.Index()]
	side.Goals++
	if n := g.Moment.Period - 1; n < len(side.GoalsByPeriod) {
		side.GoalsByPeriod[n]++
	}
	switch g.Class {
	case rules.PowerPlay:
		side.PowerPlays.Goals++
	case rules.ShortHanded:
		side.ShortHanded.Goals++
	case rules.EvenStrength:
	}
	if g.EmptyNet {
		side.EmptyNetGoals++
	}
	if g.Scorer != "" {
		of(g.Side, g.Scorer).Goals++
	}
	for _, a := range g.Assists {
		if a != "" {
			of(g.Side, a).Assists++
		}
	}
	t.Goals = append(t.Goals, PlusMinus{
		Entry: g.Entry, Side: g.Side,
		Counts: g.Class != rules.PowerPlay && g.On != entry.OnPenaltyShot,
	})
}

// byNumber orders players by number; the bench comes last.
func byNumber(a, b Player) int { return byJersey(a.Number, b.Number) }

func byJersey(a, b entry.Jersey) int {
	value := func(j entry.Jersey) int {
		if n, err := strconv.Atoi(string(j)); err == nil {
			return n
		}
		return 1000
	}
	return cmp.Or(cmp.Compare(value(a), value(b)), cmp.Compare(a, b))
}

// Played returns the play so far: the last period begun, up to its clock.
func Played(s rules.State) entry.Millis {
	abs := entry.Millis(0)
	for _, p := range s.Periods {
		if !p.Begun {
			continue
		}
		abs = p.Abs + p.Length
		if s.Stage == p.Stage {
			abs = p.Abs + min(s.Clock.Elapsed, p.Length)
		}
	}
	for _, g := range s.Goals { // also where the clock was not kept
		abs = max(abs, g.Moment.Abs)
	}
	for _, c := range s.Calls {
		abs = max(abs, c.Moment.Abs)
	}
	for _, g := range s.Goals { // an overtime goal ends the game where it was scored
		if s.Stage.Kind == entry.Over && g.Moment.Period > len(s.Division.Periods) && s.Division.Overtime.SuddenDeath {
			abs = min(abs, g.Moment.Abs)
		}
	}
	return abs
}

func wipedParts(s rules.State) map[string]int {
	wiped := map[string]int{}
	for _, term := range s.Terms {
		if term.Ended == rules.Wiped {
			wiped[term.Entry]++
		}
	}
	return wiped
}

// chances counts the power plays of a side: each penalty of the other side that
// makes or lengthens an advantage for some time. One that is coincidental gives
// none, nor one of no length, nor one that only makes the sides equal: as many of
// the other side's as this side serves itself, those called first, do no more
// than that.
func chances(s rules.State, side entry.Side, end entry.Millis) int {
	n := 0
	for i := range s.Terms {
		if t := &s.Terms[i]; t.Side != side && costs(t) && makesAdvantage(s, i, side, end) {
			n++
		}
	}
	return n
}

// costs reports whether a term takes a skater from its side that the other side
// does not lose by the same call.
func costs(t *rules.Term) bool {
	return t.Costs && !t.Matched && t.Ended != rules.Wiped && t.Ended != rules.NotServed
}

func makesAdvantage(s rules.State, term int, side entry.Side, end entry.Millis) bool {
	t := &s.Terms[term]
	marks := []entry.Millis{t.Start.Abs, min(t.End.Abs, end)}
	for i := range s.Terms {
		marks = append(marks, s.Terms[i].Start.Abs, s.Terms[i].End.Abs)
	}
	for _, step := range s.Strength {
		marks = append(marks, step.From.Abs)
	}
	marks = slices.DeleteFunc(marks, func(at entry.Millis) bool { return at < t.Start.Abs || at > min(t.End.Abs, end) })
	slices.Sort(marks)
	for _, at := range slices.Compact(marks) {
		if at >= min(t.End.Abs, end) {
			break
		}
		skaters := skatersAt(s, at)
		if skaters[side.Index()] <= skaters[1-side.Index()] {
			continue
		}
		place, mine := 0, 0
		for i := range s.Terms {
			o := &s.Terms[i]
			switch {
			case !costs(o) || o.Start.Abs > at || o.End.Abs <= at:
			case o.Side == side:
				mine++
			case o.Start.Abs < t.Start.Abs || o.Start.Abs == t.Start.Abs && i < term:
				place++
			}
		}
		if place >= mine {
			return true
		}
	}
	return false
}

// skatersAt returns the skaters on the ice from a moment on.
func skatersAt(s rules.State, at entry.Millis) (n [2]int) {
	for _, step := range s.Strength {
		if step.From.Abs > at {
			break
		}
		n = step.Skaters
	}
	return n
}

// timeAhead sums the time in which a side has more skaters than the other.
func timeAhead(s rules.State, side int, end entry.Millis) entry.Millis {
	sum := entry.Millis(0)
	for _, step := range s.Strength {
		if step.Skaters[side] > step.Skaters[1-side] && step.From.Abs < end {
			sum += next(s, step.From.Abs, end) - step.From.Abs
		}
	}
	return sum
}

// next returns when the step of strength after a moment begins, or the end.
func next(s rules.State, after, end entry.Millis) entry.Millis {
	for _, step := range s.Strength {
		if step.From.Abs > after {
			return min(step.From.Abs, end)
		}
	}
	return end
}
