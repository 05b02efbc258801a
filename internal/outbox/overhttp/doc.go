// Package overhttp carries what an outbox asks over HTTP. A bench in a browser does that by
// the browser's own means, and is smaller without this package.
//
//	box := outbox.New(outbox.Config{Client: overhttp.New(), Link: link, Ledgers: store, Now: now, Logger: logger})
package overhttp
