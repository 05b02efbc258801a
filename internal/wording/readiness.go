package wording

import (
	"strconv"

	"whistlestop/crew/people"
	"whistlestop/crew/readiness"
)

// Level names how well somebody knows a seat.
func Level(w Words, level people.Level) string {
	if level == people.Not {
		return Say(w, "crew.level.none")
	}
	return Say(w, "crew.level."+string(level))
}

// LevelChange says whose level for which seat is another one now, and why.
func LevelChange(w Words, list []people.Person, c readiness.Change) string {
	return Say(w, "command.crew.ready."+string(c.Why), "name", list[c.Person].Name, "seat", Seat(w, c.Seat),
		"was", Level(w, c.Was), "is", Level(w, c.Is), "day", c.Last.String())
}

// Readiness says whose levels are other ones now, which codes cannot be read, and
// which names nobody of the list has.
func Readiness(w Words, list []people.Person, changes []readiness.Change, bad, strangers []string) []string {
	var lines []string
	for _, code := range bad {
		lines = append(lines, Say(w, "command.crew.ready.bad", "code", code))
	}
	for _, name := range strangers {
		lines = append(lines, Say(w, "command.crew.ready.stranger", "name", name))
	}
	for _, c := range changes {
		lines = append(lines, LevelChange(w, list, c))
	}
	return append(lines, Say(w, "command.crew.ready.changed", "count", strconv.Itoa(len(changes))))
}
