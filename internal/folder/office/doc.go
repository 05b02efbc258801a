// Package office keeps what a coordinator has beside the games: the last roster of
// every team, and which reports anybody may read.
//
//	o := office.New(privatefile.At("teams.json"), privatefile.At("shared.json"))
//	err := o.KeepTeam(entry.Team{Name: "Kelp Bay"})
package office
