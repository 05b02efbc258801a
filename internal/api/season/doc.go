// Package season is the operations on the season of a bench: the league file and the
// schedule that lie beside the games, tonight's games and how they are opened, and
// what follows from the games that were played. What of it lies on a disk comes in by
// the interfaces that Service names.
//
//	service := &season.Service{Kept: files, Live: bench, Words: words, Logger: logger}
//	for _, operation := range service.Operations() {
//		serve(operation.Method, operation.Path, &operation)
//	}
//
// It stands apart from package api because an engine in a browser has no season and
// must stay small.
package season
