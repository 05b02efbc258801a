// Package duties is the life of a duty after the rota is made: who was asked, who
// said yes or no, who is to be reminded today, whom a change concerns, and who came.
// What happened is kept as a list of events; how a duty stands follows from it, and
// nothing is ever taken out of it but a name.
//
//	for _, m := range duties.Due(list, log, now) { // m.Who is to hear m.Lines, all in one message
//		...
//	}
package duties
