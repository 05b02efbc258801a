// Package calendar writes and reads calendar files of games by RFC 5545 and 7986:
// one event a game with an id that lasts, a number that rises with each change, and
// a cancelled game kept as cancelled. Times are those of the rink's own clock, with
// the zone's rules in the file.
//
//	text := calendar.Write(calendar.Calendar{Name: "Kelp Bay", Zone: zone, Stamp: now, Events: events})
package calendar
