package rink

import (
	"slices"

	"whistlestop/game/dice"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// lineUp is how everybody stands when the puck is dropped.
type lineUp struct {
	spot    Spot
	left    entry.Side
	players []Skater // home first, the goalkeeper of a side before its skaters
}

// lineUp is the face-off of a drop: at the spot to which the whistle before it
// leads, with as many skaters as the penalties leave.
func (p *picture) lineUp(drop int) lineUp {
	l := lineUp{spot: p.spot(drop), left: left(p.script.Cues[drop].At.Period)}
	for _, side := range entry.Sides {
		l.players = append(l.players, p.stand(side, l, p.on(side, drop))...)
	}
	return l
}

// moment is the number of the stoppage to which a cue belongs.
func (p *picture) moment(cue int) int {
	found := 0
	for i, m := range p.script.Moments {
		if m.From <= cue {
			found = i
		}
	}
	return found
}

// abs is where play stands at a cue, on the axis of play.
func (p *picture) abs(at entry.At) entry.Millis {
	for _, span := range p.state.Periods {
		if span.Period == at.Period {
			return span.Abs + at.Elapsed
		}
	}
	return at.Elapsed
}

// skaters is how many skaters each side has at a moment of play.
func (p *picture) skaters(abs entry.Millis) (n [2]int) {
	for _, step := range p.state.Strength {
		if step.From.Abs <= abs {
			n = step.Skaters
		}
	}
	for i := range n {
		if n[i] == 0 {
			n[i] = p.script.Division.Skaters
		}
	}
	return n
}

func (p *picture) team(side entry.Side) entry.Team {
	if side == entry.Visitors {
		return p.script.Visitors
	}
	return p.script.Home
}

// inBox reports whether somebody may not play after a stoppage.
func (p *picture) inBox(moment int, side entry.Side, j entry.Jersey) bool {
	return slices.ContainsFunc(p.script.Moments[moment].Right.Box, func(b script.Boxed) bool {
		return b.Side == side && (b.Sits == j || b.Player == j)
	})
}

// on lists who is on the ice at a drop: the goalkeeper, those who are about to do
// something, then the roster in turn.
func (p *picture) on(side entry.Side, drop int) []Skater {
	team, moment := p.team(side), p.moment(drop)
	n := p.skaters(p.abs(p.playedFrom(drop)))[side.Index()]
	var out []Skater
	for _, player := range team.Players {
		if player.Goalkeeper && len(out) == 0 {
			out = append(out, Skater{Side: side, Number: player.Number, Goalkeeper: true})
		}
	}
	n += len(out)
	add := func(j entry.Jersey) {
		free := len(out) < n && !p.inBox(moment, side, j)
		if free && !slices.ContainsFunc(out, func(s Skater) bool { return s.Number == j }) {
			out = append(out, Skater{Side: side, Number: j})
		}
	}
	for _, j := range p.named(p.until(drop), side) {
		if !slices.ContainsFunc(team.Players, func(pl entry.Player) bool { return pl.Number == j && pl.Goalkeeper }) {
			add(j)
		}
	}
	// A line stays on for two stoppages or so.
	turn := p.luck("turn"+string(side), (moment+side.Index())/2).Below(max(1, len(team.Players)))
	for i := range team.Players {
		if player := team.Players[(i+turn)%len(team.Players)]; !player.Goalkeeper {
			add(player.Number)
		}
	}
	return out
}

// playedFrom is where play stands at a drop. Where the clock runs through
// stoppages the whistle after the drop tells.
func (p *picture) playedFrom(drop int) entry.At {
	from, to := p.script.Cues[drop], p.script.Cues[p.until(drop)]
	if !begins(to.Kind) || to.At.Period != from.At.Period {
		return from.At
	}
	return entry.At{Period: to.At.Period, Elapsed: max(from.At.Elapsed, to.At.Elapsed-(to.Real-from.Real))}
}

// named lists who does something at the stoppage that begins with a cue.
func (p *picture) named(whistle int, side entry.Side) (list []entry.Jersey) {
	for _, body := range p.happened(whistle) {
		switch body := body.(type) {
		case entry.Goal:
			if body.Side == side {
				list = append(append(list, body.Scorer), body.Assists...)
			}
		case entry.Penalty:
			if body.Side == side {
				list = append(list, body.Player)
			}
		default: // the other entries say nothing here
		}
	}
	return slices.DeleteFunc(list, func(j entry.Jersey) bool { return j == "" })
}

// happened lists what is entered at the stoppage that begins with a cue.
func (p *picture) happened(whistle int) (list []entry.Body) {
	end := p.until(whistle)
	for _, a := range p.script.Answers {
		if a.Cue >= whistle && a.Cue < end && p.script.Cues[whistle].Kind != script.CueDrop {
			list = append(list, a.Entry.Body)
		}
	}
	return list
}

// places is where the skaters of a side stand at a face-off, from its spot: X is
// measured in the direction of attack. The centre, the wings, the defence, one more.
var places = [6]Spot{{-130, 0}, {-140, -470}, {-140, 470}, {-640, -260}, {-640, 300}, {-420, 60}}

// roles is which of the places a side fills that has so many skaters.
var roles = [7][]int{{}, {0}, {0, 3}, {0, 1, 3}, {0, 1, 3, 4}, {0, 1, 2, 3, 4}, {0, 1, 2, 3, 4, 5}}

// stand places the players of a side for a face-off.
func (p *picture) stand(side entry.Side, l lineUp, players []Skater) []Skater {
	w, own := way(side, l.left), goalOf(side, l.left)
	fill := roles[min(6, max(0, len(players)-1))]
	k := 0
	for i := range players {
		if players[i].Goalkeeper {
			players[i].Spot = bound(Spot{own.X + w*120, own.Y + (l.spot.Y-own.Y)/10})
			continue
		}
		at := places[5]
		if k < len(fill) {
			at = places[fill[k]]
		}
		k++
		to := Spot{l.spot.X + w*at.X, l.spot.Y + at.Y}
		// Nobody lines up behind the own goal line.
		if deep := w * (to.X - own.X); deep < 150 {
			to.X = own.X + w*150
		}
		players[i].Spot = bound(to)
	}
	return players
}

// ending is how a stretch of play comes to its whistle.
type ending struct {
	why     plot.Why
	attacks entry.Side // who has the puck in the end
	into    entry.Side // into whose goal it goes; "": none
	chain   []entry.Jersey
	fouls   []foul
	faceOff Spot
}

type foul struct {
	side   entry.Side
	player entry.Jersey
}

// ending reads from the script how play comes to a whistle; what it leaves open
// is rolled. So the next face-off is known without playing.
func (p *picture) ending(whistle int) ending {
	luck := p.luck("end", whistle)
	cue := p.script.Cues[whistle]
	l := left(cue.At.Period)
	e := ending{why: cue.Why, attacks: dice.Pick(luck, entry.Sides[:])}
	for _, body := range p.happened(whistle) {
		switch body := body.(type) {
		case entry.Goal:
			e.attacks, e.into = body.Side, body.Side.Other()
			if !body.OwnGoal {
				e.chain = append(slices.Clone(body.Assists), body.Scorer)
				slices.Reverse(e.chain[:len(body.Assists)]) // the first assist passed last
			}
		case entry.Penalty:
			e.fouls = append(e.fouls, foul{body.Side, body.Player})
			if e.into == "" {
				e.attacks = body.Side.Other()
			}
		default: // the other entries say nothing here
		}
	}
	own, other := goalOf(e.attacks, l), goalOf(e.attacks.Other(), l)
	w, y := way(e.attacks, l), dice.Pick(luck, []int{630, RinkWidth - 630})
	switch {
	case e.into != "":
		e.faceOff = Spot{RinkLength / 2, RinkWidth / 2}
	case cue.Why == plot.ForIcing:
		e.faceOff = Spot{own.X + w*610, y}
	case cue.Why == plot.ForOffside:
		e.faceOff = Spot{other.X - w*(blueLine-goalLine+154), y}
	case cue.Why == plot.ForPuck || cue.Why == plot.ForNet || cue.Why == plot.ForPenalty || len(e.fouls) > 0:
		e.faceOff = Spot{other.X - w*610, y}
	default:
		e.faceOff = Spot{dice.Pick(luck, []int{1010, 2440, RinkLength - 2440, RinkLength - 1010}), y}
	}
	return e
}

// spot is where the puck is dropped: in the middle after a goal and at the start
// of a period.
func (p *picture) spot(drop int) Spot {
	middle := Spot{RinkLength / 2, RinkWidth / 2}
	m := p.script.Moments[p.moment(drop)]
	begun := p.script.Cues[m.From]
	switch at := p.script.Cues[drop].At; {
	case at.Elapsed == 0 || at.Period != begun.At.Period:
		return middle
	case begun.Kind == script.CueWhistle || begun.Kind == script.CueRunsOut:
		return p.ending(m.From).faceOff
	default: // the learner takes over in the middle of a period
		luck := p.luck("begin", drop)
		return Spot{dice.Pick(luck, []int{2440, RinkLength - 2440}), dice.Pick(luck, []int{630, RinkWidth - 630})}
	}
}

// freed lists who leaves the box while a stretch is played, on the axis of play.
func (p *picture) freed(from, to entry.Millis) (list []rules.Release) {
	for _, r := range p.state.Releases {
		if r.Moment.Abs > from && r.Moment.Abs < to && r.Door == rules.AtEnd {
			list = append(list, r)
		}
	}
	return list
}
