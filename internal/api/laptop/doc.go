// Package laptop is the operations of the bench that a program on the crew's own
// computer keeps: those on a game that every bench has, and those that need what
// stands around it, such as devices that become seats, files beside the games,
// copies, the key that seals a report, and the texts of a person who wants to be
// named no more. What of it lies on a disk or on paper comes in by its interfaces.
//
//	service := &laptop.Service{Bench: live, Seats: register, Languages: languages, Logger: logger}
//	for _, operation := range service.Operations() {
//		serve(operation.Method, operation.Path, &operation)
//	}
//
// It stands apart from package api because an engine in a browser has none of
// this and must stay small.
package laptop
