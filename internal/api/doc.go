// Package api is what can be asked of a bench, without saying by which transport:
// one table of operations, each a row with its method and path, who may ask, what
// it takes and gives, and the function that answers. From the table the shells
// route, the published description is made, and tests try who may ask what.
//
//	common := &api.Common{Live: bench, Views: &api.Views{}}
//	for _, o := range common.Operations() {
//		if part, fits := o.Fits(path); fits && o.Method == method {
//			status, file, err := o.Run(&api.Call{Context: ctx, Caller: caller, Part: part, Body: body})
//		}
//	}
//
// What is here every bench answers alike, also one inside a browser, so it knows
// no network: a status is a number. It says what strangers and seats see of a game
// (Public, SeatView) and how a no is put into words (Why). Package laptop beside it
// has the rest of the table.
package api
