package standings

import (
	"strconv"
	"strings"

	"whistlestop/game/rules"
)

// Say is the sentence of a reason: "Millrace above Northmole: 4 to 2, points in
// the games between them." Name gives a team's name.
func (r Reason) Say(name func(Team) string) rules.Say {
	key, cut := "standings.above", "standings.above_cut"
	by := string(r.Step.Measure)
	args := []string{
		"above", name(r.Above), "below", name(r.Below),
		"more", r.AboveValue.String(), "less", r.BelowValue.String(),
	}
	switch {
	case len(r.Step.against) > 0:
		key, cut = "standings.above_against", "standings.above_against"
		others := make([]string, len(r.Step.against))
		for i, team := range r.Step.against {
			others[i] = name(team)
		}
		args = append(args, "others", strings.Join(others, ", "))
	case r.Step.Direct && r.Direct == 2:
		key, cut = "standings.above_between", "standings.above_between_cut"
	case r.Step.Direct:
		key, cut = "standings.above_among", "standings.above_among_cut"
		args = append(args, "count", strconv.Itoa(r.Direct))
	}
	args = append(args, "by", "@standings.by."+by)
	if r.Step.Cut > 0 {
		key = cut
		args = append(args, "cut", strconv.Itoa(r.Step.Cut))
	}
	return rules.Say{Key: key, Args: rules.Pairs(args...)}
}

// SayEqual is the sentence about teams that no step could part.
func SayEqual(teams []Team, name func(Team) string) rules.Say {
	names := make([]string, len(teams))
	for i, team := range teams {
		names[i] = name(team)
	}
	return rules.Say{Key: "standings.equal", Args: rules.Pairs("teams", strings.Join(names, ", "))}
}
