// Package league reads a league file: one readable file with what a season is made
// of. Its rinks and the ice bought there, its divisions and their teams, on which
// days nobody plays, who belongs to two teams, and the limits that a schedule keeps.
// Times are those of the rinks' own clocks; whoever needs an instant adds the zone.
//
//	l, err := league.Read(text, "harbour.toml")
//	for _, slot := range l.Slots() { offer(slot) }
package league
