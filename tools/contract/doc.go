// Command contract writes the contract between the Go program and everything
// that reads its JSON: the JSON Schema of the answers and entries
// (ui/src/base/contract/schema.json) and the published JSON Schema of a ledger
// (api/ledger.schema.json). The TypeScript types are made from the first by
// types.mjs beside it.
//
// The Go types are the truth: names, fields, constants and comments are read
// from them, so that a change in Go which the front end does not know shows as
// a changed file in the same commit.
//
//	cd tools && go run ./contract -root ..
//	cd tools && go run ./contract -root .. -check   # fails when a file differs
package main
