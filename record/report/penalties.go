package report

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// penalties writes every part of every call on a line of its own: one line for
// each penalty, also for one player and one incident (a US officials'
// association, "Scorekeeper's Corner").
func (b *builder) penalties() {
	b.d.Penalties = []PenaltyLine{}
	terms := make(map[string]*rules.Term, len(b.state.Terms))
	for i := range b.state.Terms {
		terms[b.state.Terms[i].ID] = &b.state.Terms[i]
	}
	for i := range b.state.Calls {
		call := &b.state.Calls[i]
		for part := range call.Parts {
			b.d.Penalties = append(b.d.Penalties, b.penalty(call, part, terms))
		}
	}
}

func (b *builder) penalty(call *rules.Call, part int, terms map[string]*rules.Term) PenaltyLine {
	line := PenaltyLine{
		Entry: call.Entry, Part: part, Off: b.stamp(call.Moment), Side: call.Side, Player: call.Player,
		Bench: call.Bench, Call: call.Call, Kind: call.Parts[part], WarmUp: call.WarmUp,
	}
	given := false // the referee gave it a length of its own
	if l := b.bodies[call.Entry]; l != nil {
		if body, ok := l.Body.(entry.Penalty); ok {
			line.Signalled = body.Signalled
			if term := terms[PartID(call.Entry, part)]; term == nil && call.Bench || term != nil && term.Costs {
				line.ServedBy = body.ServedBy // the rest the player serves, or nobody
			}
			if part < len(body.Lengths) {
				given, line.Charged = true, body.Lengths[part]
			}
		}
	}
	if term := terms[PartID(call.Entry, part)]; term != nil {
		b.served(&line, term)
	}
	line.Given, line.Charged = given, b.charge(line, given)
	return line
}

// served writes how a part was served.
func (b *builder) served(line *PenaltyLine, term *rules.Term) {
	line.Length, line.How, line.Matched, line.Waited = term.Length, term.Ended, term.Matched, term.Waits
	line.Wiped = term.Ended == rules.Wiped
	if term.Sits != "" && term.Sits != line.Player {
		line.ServedBy = term.Sits
	}
	if line.Wiped || term.Ended == rules.NotServed {
		return
	}
	if term.Start.Abs > b.end {
		line.Running = true // it waits still, or did so to the end of the game
		return
	}
	start := b.stamp(term.Start)
	line.Start = &start
	if b.d.Finished && term.End.Abs > b.end || !b.d.Finished && term.End.Abs >= b.end {
		line.Running = true // whoever sits does so until the game goes on, or to its end
		return
	}
	end := b.stamp(term.End)
	line.End = &end
	if term.Out != nil && term.Out.Abs <= b.end {
		line.On = b.stampOf(term.Out)
	}
}

// charge returns the penalty minutes of one line: what the code writes for a
// game misconduct and a match penalty, nothing for what a goal wiped out and
// for a penalty shot, and the length for the rest.
func (b *builder) charge(line PenaltyLine, given bool) entry.Millis {
	switch {
	case line.Wiped, line.Kind == entry.PenaltyShot:
		return 0
	case line.Kind == entry.GameMisconduct:
		return b.code.Charges.GameMisconduct
	case line.Kind == entry.Match:
		return b.code.Charges.Match
	case given:
		return line.Charged
	default:
		return b.state.Division.LengthOf(line.Kind, line.Off.Period > len(b.state.Division.Periods))
	}
}

// PartID returns the id of a part of a call, which is that of its term.
func PartID(id string, part int) string { return id + "/" + strconv.Itoa(part) }
