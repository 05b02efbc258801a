// Package book lays a season out as a document: for each division the table with a
// sentence for every tie, results and games to come, who leads, players, goalkeepers
// and suspensions. The document is written elsewhere, as pages, workbooks or files.
// Without names people stand with their numbers, as everybody may see them, and
// whoever was taken out of a game has no number either.
//
//	people := book.PeopleOf(season, facts)
//	document := book.Of(league, season, people, book.Options{Names: book.NoNames})
package book
