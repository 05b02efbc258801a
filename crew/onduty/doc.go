// Package onduty is who is on duty at games, as a coordinator hands it to a bench that
// does not have the desk: short names and no way to reach anybody, and with each seat
// the codes by which the bench says who came. What the bench noted goes back as a text
// of codes, which the desk reads like any other answer.
//
//	file, err := onduty.Read(text)
//	game, known := file.Find(onduty.Wanted{Schedule: "u14-007"})
package onduty
