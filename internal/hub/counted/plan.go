package counted

import (
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// PlanOf reads a league file and a schedule, as far as they can be used.
func PlanOf(leagueText, scheduleText []byte) Plan {
	l, err := league.Read(leagueText, "")
	if err != nil {
		return Plan{}
	}
	p := Plan{League: &l, Division: map[string]string{}}
	if games, err := schedule.Read(scheduleText, l); err == nil {
		for _, g := range games {
			p.Division[g.ID] = g.Division
		}
	}
	return p
}
