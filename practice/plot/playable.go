package plot

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
)

// playable refuses what nobody could enter when the script is practised: a call that
// the division's rule book does not have, and a number that is on no roster.
func (r *reader) playable(h Happening) error {
	switch h.What {
	case AGoal:
		return r.onRoster(h.Goal.Side, append([]entry.Jersey{h.Goal.Scorer}, h.Goal.Assists...)...)
	case APenalty:
		if err := r.called(h.Penalty.Call); err != nil {
			return err
		}
		return r.onRoster(h.Penalty.Side, h.Penalty.Player, h.Penalty.ServedBy)
	case AChoice:
		for _, pick := range h.Picks {
			if r.onRoster(entry.Home, pick) != nil && r.onRoster(entry.Visitors, pick) != nil {
				return r.onRoster(entry.Home, pick)
			}
		}
	case ANoGoal, AClockBack, ATimeOut, ARunningTime:
	}
	return nil
}

// called reports a call that the rule book of the division does not have.
func (r *reader) called(call string) error {
	code, known := rulebook.CodeByID(r.plot.Division.Code)
	if !known {
		return nil // the division says so itself
	}
	var near []string
	for _, c := range code.Calls {
		if c.ID == call {
			return nil
		}
		if c.ID != "" && call != "" && c.ID[0] == call[0] {
			near = append(near, c.ID)
		}
	}
	if len(near) == 0 {
		return message.New("plot.call", "call", message.Plain(call))
	}
	return message.New("plot.call_near", "call", message.Plain(call), "known", Join(near))
}

// onRoster reports the first number that is not on the roster of a side. An empty one
// is nobody.
func (r *reader) onRoster(side entry.Side, numbers ...entry.Jersey) error {
	team, key := r.plot.Home, "home"
	if side == entry.Visitors {
		team, key = r.plot.Visitors, "visitors"
	}
	if !r.seen[key] {
		return nil // that the line is missing is said of the file
	}
	for _, n := range numbers {
		if n == "" || slices.ContainsFunc(team.Players, func(p entry.Player) bool { return p.Number == n }) {
			continue
		}
		known := make([]entry.Jersey, len(team.Players))
		for i, p := range team.Players {
			known[i] = p.Number
		}
		return message.New("plot.roster", "number", message.Plain(n), "team", message.Plain(team.Name), "known", Join(known))
	}
	return nil
}
