// Package traces follows a few of the requests to a hub from the answer down to the
// questions to its database, in the form of OpenTelemetry, so that whoever runs it sees
// where time goes. Nothing in a trace names a game, a person, a team, an association or an
// address: a request is named by its route, a question by its verb, and what else a
// library may add is left out (Allowed).
//
//	t, err := traces.New(traces.Config{Address: "http://127.0.0.1:4318", Share: 0.01, Logger: logger})
//	site.New(site.Config{Around: t.Around, ...})
//	postgres.Open(ctx, url, t.Database)
//	defer t.Close(ctx)
package traces
