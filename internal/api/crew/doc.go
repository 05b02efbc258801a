// Package crew is the operations of the crew's desk: a coordinator's list of people,
// the rules who may sit where, the rota, what people are to hear and what they answer;
// and the pages by which a volunteer and a team's manager see their own duties without
// an account. Games come from the season that lies beside the bench's games.
//
//	service := &crew.Service{Papers: papers, Season: files, Logger: logger}
//	for _, operation := range service.Operations() {
//		serve(operation.Method, operation.Path, &operation)
//	}
//
// Nothing is decided here: who may sit where is package seating's, who sits there
// package rota's, how a duty stands package duties'.
package crew
