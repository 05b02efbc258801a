// Package suspensions works out what the calls of a season cost later: what a book
// or league earns somebody, which games that takes, and which were served. A
// suspension is always the league's to pronounce: this package says what follows
// from the words, never that somebody is cleared. It knows the games that it is
// given; where another league counts too, what it says is "at least".
//
//	book := suspensions.Books()["usah"]
//	out, err := suspensions.Work(season, book)
//	for _, s := range out.Earned { show(s.Who, s.Games, s.Why) }
//	for _, game := range out.Misses["A7"] { mark(game) }
package suspensions
